using System.Globalization;
using System.Text.Json.Nodes;
using System.Text.RegularExpressions;
using YamlDotNet.Core;
using YamlDotNet.RepresentationModel;

namespace BusScope.Signals.Tests.Loading;

/// <summary>YAML to JSON by the core schema of YAML 1.2 (section 10.3.2), as an editor sees a file when it applies a JSON Schema.</summary>
internal static partial class YamlAsJson
{
    public static JsonNode? Convert(string yaml)
    {
        var stream = new YamlStream();
        stream.Load(new StringReader(yaml));
        return Convert(stream.Documents[0].RootNode);
    }

    private static JsonNode? Convert(YamlNode node) => node switch
    {
        YamlMappingNode map => new JsonObject(map.Children.Select(entry => KeyValuePair.Create(((YamlScalarNode)entry.Key).Value!, Convert(entry.Value)))),
        YamlSequenceNode list => new JsonArray([.. list.Children.Select(Convert)]),
        YamlScalarNode { Style: not ScalarStyle.Plain } quoted => JsonValue.Create(quoted.Value),
        YamlScalarNode plain => Plain(plain.Value ?? ""),
        _ => throw new InvalidOperationException(node.NodeType.ToString()),
    };

    private static JsonValue? Plain(string text) => text switch
    {
        "" or "~" or "null" => null,
        "true" => JsonValue.Create(true),
        "false" => JsonValue.Create(false),
        _ when WholePattern().IsMatch(text) => JsonValue.Create(decimal.Parse(text, CultureInfo.InvariantCulture)),
        _ when HexPattern().IsMatch(text) => JsonValue.Create(ulong.Parse(text[2..], NumberStyles.HexNumber, CultureInfo.InvariantCulture)),
        _ when FloatPattern().IsMatch(text) => JsonValue.Create(double.Parse(text, CultureInfo.InvariantCulture)),
        _ => JsonValue.Create(text),
    };

    [GeneratedRegex("^[-+]?[0-9]+$")]
    private static partial Regex WholePattern();

    [GeneratedRegex("^0x[0-9a-fA-F]+$")]
    private static partial Regex HexPattern();

    [GeneratedRegex(@"^[-+]?(\.[0-9]+|[0-9]+(\.[0-9]*)?)([eE][-+]?[0-9]+)?$")]
    private static partial Regex FloatPattern();
}
