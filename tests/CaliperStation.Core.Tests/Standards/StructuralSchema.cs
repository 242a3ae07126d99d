using System.Globalization;
using System.Text.Json;
using System.Text.RegularExpressions;
using CaliperStation.Core.Toml;

namespace CaliperStation.Core.Tests.Standards;

/// <summary>Checks a TOML tree against the part of JSON Schema (2020-12) that the format's schema uses; an unknown keyword throws, so the schema cannot outgrow it.</summary>
internal sealed class StructuralSchema(JsonElement root)
{
    /// <summary>What does not fit, as path and keyword; empty when all fits.</summary>
    internal IEnumerable<string> Misfits(TomlNode node) => Misfits(node, root, "");

    private IEnumerable<string> Misfits(TomlNode node, JsonElement schema, string path) => schema.EnumerateObject().SelectMany(keyword => keyword.Name switch
    {
        "$schema" or "title" or "description" or "$defs" => [],
        "$ref" => Misfits(node, root.GetProperty("$defs").GetProperty(keyword.Value.GetString()!["#/$defs/".Length..]), path),
        "type" => Tell(Types(keyword.Value).Any(type => IsType(node, type)), path, keyword.Name),
        "enum" => Tell(node is TomlText text && keyword.Value.EnumerateArray().Any(value => value.GetString() == text.Value), path, keyword.Name),
        "pattern" => Tell(node is not TomlText text || Regex.IsMatch(text.Value, keyword.Value.GetString()!), path, keyword.Name),
        "minLength" => Tell(node is not TomlText text || text.Value.Length >= keyword.Value.GetInt32(), path, keyword.Name),
        "maxLength" => Tell(node is not TomlText text || text.Value.Length <= keyword.Value.GetInt32(), path, keyword.Name),
        "minimum" => Tell(node is not TomlNumber number || number.Value >= keyword.Value.GetDouble(), path, keyword.Name),
        "maximum" => Tell(node is not TomlNumber number || number.Value <= keyword.Value.GetDouble(), path, keyword.Name),
        "minItems" => Tell(node is not TomlList list || list.Items.Count >= keyword.Value.GetInt32(), path, keyword.Name),
        "maxItems" => Tell(node is not TomlList list || list.Items.Count <= keyword.Value.GetInt32(), path, keyword.Name),
        "uniqueItems" => Tell(node is not TomlList list || list.Items.OfType<TomlText>().Select(text => text.Value).Distinct().Count() == list.Items.Count, path, keyword.Name),
        "items" => node is TomlList list ? list.Items.SelectMany((item, index) => Misfits(item, keyword.Value, $"{path}/{index.ToString(CultureInfo.InvariantCulture)}")) : [],
        "anyOf" => Tell(keyword.Value.EnumerateArray().Any(choice => !Misfits(node, choice, path).Any()), path, keyword.Name),
        "oneOf" => Tell(keyword.Value.EnumerateArray().Count(choice => !Misfits(node, choice, path).Any()) == 1, path, keyword.Name),
        "required" => keyword.Value.EnumerateArray().SelectMany(key => Tell(node is not TomlTable table || table.Find(key.GetString()!) is not null, path, $"required {key}")),
        "minProperties" => Tell(node is not TomlTable table || table.Entries.Count >= keyword.Value.GetInt32(), path, keyword.Name),
        "properties" => node is TomlTable table
            ? table.Entries.SelectMany(entry => keyword.Value.TryGetProperty(entry.Name, out JsonElement property) ? Misfits(entry.Node, property, $"{path}/{entry.Name}") : [])
            : [],
        "additionalProperties" => node is TomlTable table
            ? table.Entries.Where(entry => !schema.TryGetProperty("properties", out JsonElement known) || !known.TryGetProperty(entry.Name, out _)).SelectMany(entry =>
                keyword.Value.ValueKind == JsonValueKind.False ? Tell(false, $"{path}/{entry.Name}", keyword.Name) : Misfits(entry.Node, keyword.Value, $"{path}/{entry.Name}"))
            : [],
        _ => throw new NotSupportedException($"This checker does not know the keyword {keyword.Name}."),
    });

    private static string[] Types(JsonElement value) => value.ValueKind == JsonValueKind.String ? [value.GetString()!] : [.. value.EnumerateArray().Select(type => type.GetString()!)];

    private static bool IsType(TomlNode node, string type) => type switch
    {
        "string" => node is TomlText,
        "number" => node is TomlNumber,
        "integer" => node is TomlNumber { Whole: not null },
        "boolean" => node is TomlFlag,
        "array" => node is TomlList,
        "object" => node is TomlTable,
        _ => throw new NotSupportedException($"This checker does not know the type {type}."),
    };

    private static string[] Tell(bool fits, string path, string keyword) => fits ? [] : [$"{path}: {keyword}"];
}
