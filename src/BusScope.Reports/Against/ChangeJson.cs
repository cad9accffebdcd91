using System.Text.Json;
using BusScope.Health;

namespace BusScope.Reports.Against;

/// <summary>What changed since an earlier check, for machines: <c>against</c> of the contract.</summary>
internal static class ChangeJson
{
    /// <summary>Writes the object, or null where nothing was compared.</summary>
    public static void Write(Utf8JsonWriter json, CheckChange? change)
    {
        if (change is null)
        {
            json.WriteNull("against");
            return;
        }

        json.WriteStartObject("against");
        json.WriteString("file", change.Earlier.Name);
        json.WriteString("verdict", Words.Of(change.Earlier.Verdict));
        json.WriteString("source", change.Earlier.Source);
        json.WriteString("definitions", change.Earlier.Definitions);
        json.WriteBoolean("definitions_differ", change.Definitions is not null);
        json.WriteStartArray("modules");
        foreach (var module in change.Modules)
        {
            json.WriteStartObject();
            json.WriteString("name", module.Name);
            json.WriteString("before", module.Before is { } before ? Words.Of(before) : null);
            json.WriteString("now", module.Now is { } now ? Words.Of(now) : null);
            json.WriteEndObject();
        }

        json.WriteEndArray();
        json.WriteStartArray("new");
        foreach (var finding in change.New)
        {
            Write(json, FindingSubject.Of(finding), null, finding.Severity, null, finding.Count, finding.Text);
        }

        json.WriteEndArray();
        json.WriteStartArray("gone");
        foreach (var finding in change.Gone)
        {
            Write(json, finding.Subject, finding.Severity, null, finding.Count, null, finding.Text);
        }

        json.WriteEndArray();
        json.WriteStartArray("unseen");
        foreach (var finding in change.Unseen)
        {
            Write(json, finding.Subject, finding.Severity, null, finding.Count, null, finding.Text);
        }

        json.WriteEndArray();
        json.WriteStartArray("still");
        foreach (var finding in change.Still)
        {
            Write(json, finding.Before.Subject, finding.Before.Severity, finding.Now.Severity, finding.Before.Count, finding.Now.Count, finding.Now.Text);
        }

        json.WriteEndArray();
        json.WriteEndObject();
    }

    private static void Write(Utf8JsonWriter json, FindingSubject subject, FindingSeverity? before, FindingSeverity? now, long? countBefore, long? countNow, string text)
    {
        json.WriteStartObject();
        json.WriteString("code", subject.Code);
        json.WriteString("bus", subject.Bus);
        json.WriteString("message", subject.Message);
        json.WriteString("signal", subject.Signal);
        json.WriteString("module", subject.Module);
        json.WriteString("before", before is { } then ? Words.Of(then) : null);
        json.WriteString("now", now is { } present ? Words.Of(present) : null);
        WriteCount(json, "count_before", countBefore);
        WriteCount(json, "count_now", countNow);
        json.WriteString("text", text);
        json.WriteEndObject();
    }

    private static void WriteCount(Utf8JsonWriter json, string name, long? count)
    {
        if (count is { } known)
        {
            json.WriteNumber(name, known);
        }
        else
        {
            json.WriteNull(name);
        }
    }
}
