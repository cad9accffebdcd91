using BusScope.Analysis.Learning;
using BusScope.Frames;
using BusScope.TestKit;
using Xunit;

namespace BusScope.Analysis.Tests.Learning;

/// <summary>A message as it is sent: when, and with which payload.</summary>
/// <param name="Id">The identifier.</param>
/// <param name="Times">Milliseconds.</param>
/// <param name="Payload">The payload at a time, or null for eight zero bytes.</param>
internal sealed record SentMessage(uint Id, IEnumerable<double> Times, Func<double, byte[]>? Payload = null);

/// <summary>Baselines learned from made-up cars of one bus.</summary>
internal static class LearnedCar
{
    /// <summary>Learns from one capture.</summary>
    public static Baseline Of(params SentMessage[] messages) => OfCaptures(messages);

    /// <summary>Learns from several captures.</summary>
    public static Baseline OfCaptures(params SentMessage[][] captures)
    {
        var study = new CaptureStudy();
        foreach (var capture in captures)
        {
            var frames = capture
                .SelectMany(message => message.Times.Select(time => Some.Frame(message.Id, Convert.ToHexString(message.Payload?.Invoke(time) ?? new byte[8]), time)))
                .OrderBy(frame => frame.Time.Nanoseconds)
                .ToList();
            study.Read(new ListSource([new Bus("chassis")], frames), null, TestContext.Current.CancellationToken);
        }

        return Baseline.Learn(study, ["made up"], new Dictionary<string, long> { ["chassis"] = 500_000 }, TestContext.Current.CancellationToken);
    }

    /// <summary>Learns from one capture in which the clock is set: every frame from a moment on bears another time.</summary>
    public static Baseline WithClockSet(SentMessage[] messages, double at, double step)
    {
        var study = new CaptureStudy();
        var frames = messages.SelectMany(message => message.Times.Select(time => (message.Id, Time: time))).OrderBy(sent => sent.Time)
            .Select(sent => Some.Frame(sent.Id, "0000000000000000", sent.Time + (sent.Time >= at ? step : 0)));
        study.Read(new ListSource([new Bus("chassis")], [.. frames]), null, TestContext.Current.CancellationToken);
        return Baseline.Learn(study, ["made up"], new Dictionary<string, long>(), TestContext.Current.CancellationToken);
    }

    /// <summary>Learns from one of the published captures (github.com/projectgus/hyundai-kona-ev-can-logs, CC0).</summary>
    public static Baseline Published(string file)
    {
        var frames = File.ReadLines(RepoFiles.Shared("captures", file)).Skip(1).Select(line => line.Split(',')).Select(cells =>
            (Bus: int.Parse(cells[3]), Frame: Some.Frame(Convert.ToUInt32(cells[1], 16), string.Concat(cells.Skip(5).Take(int.Parse(cells[4]))), long.Parse(cells[0]) / 1000.0)));
        var study = new CaptureStudy();
        study.Read(new ListSource([new Bus("0")], [.. frames.Where(each => each.Bus == 0).Select(each => each.Frame).OrderBy(frame => frame.Time.Nanoseconds)]), null, TestContext.Current.CancellationToken);
        return Baseline.Learn(study, [file], new Dictionary<string, long>(), TestContext.Current.CancellationToken);
    }

    /// <summary>Times at a period, from a moment to another.</summary>
    public static IEnumerable<double> Every(double period, double from, double until)
    {
        for (var time = from; time < until; time += period)
        {
            yield return time;
        }
    }
}
