using System.Text;
using CaliperStation.Core.Quantities;
using CaliperStation.Core.Wire;
using CaliperStation.Files;
using Tomlyn.Parsing;
using Tomlyn.Syntax;

namespace CaliperStation.Devices;

/// <summary>Reads the text of <c>settings.toml</c>: every fault with its line, column and what to write.</summary>
internal static class SettingsText
{
    /// <summary>One setting: its name, what it looks like, and how it changes the settings; null when the value is not of its kind.</summary>
    private sealed record Known(string Name, string Like, Func<Settings, ValueSyntax?, Settings?> Set);

    private const int LongestKey = 30;   // which keys there are, the screen knows

    private static readonly Known[] _known =
    [
        Text("port", "\"auto\"", (settings, port) => settings with { Port = port }),
        Text("unit", "\"in\" or \"mm\"", (settings, unit) => unit switch
        {
            "in" => settings with { Unit = LengthUnit.Inch },
            "mm" => settings with { Unit = LengthUnit.Millimetre },
            _ => null,
        }),
        Flag("mask-bit-8", (settings, on) => settings with { MaskBit8 = on }),
        Text("format", "\"auto\", \"ascii\" or \"bridge\"", (settings, name) => LineDecoders.FormatOf(name) is { } format ? settings with { Format = format } : null),
        Flag("fine-24-bit", (settings, on) => settings with { Fine24 = on }),
        Text("two-word-displayed", "\"first\" or \"second\"", (settings, which) => which switch
        {
            "first" => settings with { TwoWord = settings.TwoWord with { Order = TwoWordOrder.DisplayedFirst } },
            "second" => settings with { TwoWord = settings.TwoWord with { Order = TwoWordOrder.DisplayedSecond } },
            _ => null,
        }),
        Flag("two-word-inverted", (settings, on) => settings with { TwoWord = settings.TwoWord with { Inverted = on } }),
        Text("request", "\"R\\r\", \"?\\r\", \"1\" or \"dtr\"", (settings, request) => RequestOf(request) is { } asked ? settings with { Request = asked } : null),
        Text("lines-on", "\"rts\", \"dtr\" or \"rts dtr\"", (settings, lines) => lines.Split(' ') is var on && on.All(line => line is "rts" or "dtr")
            ? settings with { Modem = settings.Modem with { Rts = on.Contains("rts"), Dtr = on.Contains("dtr") } }
            : null),
        Text("switch-line", "\"cts\", \"dsr\" or \"dcd\" (the ring line has no level that can be read)", (settings, line) => InputOf(line) is { } input
            ? settings with { Modem = settings.Modem with { Switch = input } }
            : null),
        Text("switch-pressed", "\"on\" or \"off\"", (settings, when) => when is "on" or "off" ? settings with { Modem = settings.Modem with { PressedWhenOn = when == "on" } } : null),
        Text("press-key", "a key that does nothing else here, such as \"F5\"", (settings, key) => key.Length is > 0 and <= LongestKey ? settings with { PressKey = key } : null),
        Text("press-text", "one letter that no length is written with, such as \"b\"", (settings, text) => Settings.PressTextComplaint(text) is null ? settings with { PressText = text } : null),
        Text("smallest-move", "a length above 0 and at most 1 in, such as \"1/64 in\"", (settings, text) =>
            LengthOf(text) is { } move && move > Length.Zero && move <= Length.Inch ? settings with { SmallestMove = move } : null),
        Text("check-range", "\"150 mm\"", (settings, text) => LengthOf(text) is { } range ? settings with { Check = settings.Check with { Range = range } } : null),
        Text("check-permissible", "\"0.02 mm\"", (settings, text) => LengthOf(text) is { } error ? settings with { Check = settings.Check with { Permissible = error } } : null),
        new("check-days", "30", (settings, value) => value is IntegerValueSyntax { Value: >= 0 and <= 3_650 } days ? settings with { Check = settings.Check with { Days = (int)days.Value } } : null),
        new("check-blocks", "[\"0 mm\", \"30 mm\"]", (settings, value) => BlocksOf(value) is { } blocks ? settings with { Check = settings.Check with { Blocks = blocks } } : null),
        Flag("two-word-negated", (settings, on) => settings with { TwoWord = settings.TwoWord with { Negated = on } }),
    ];

    /// <summary>Reads the text.</summary>
    /// <exception cref="StationException">Exit 3: every fault of it with its line.</exception>
    internal static Settings Read(string text, string path)
    {
        DocumentSyntax document = SyntaxParser.Parse(text, path, validate: true);
        List<string> faults = [.. document.Diagnostics.Select(message => At(message.Span, PrintableText.Escape(message.Message)))];
        Settings settings = Settings.Usual;
        foreach (KeyValueSyntax pair in document.KeyValues)
        {
            string key = pair.Key?.ToString().Trim() ?? "";
            if (key == "serial" && (pair.Value as StringValueSyntax)?.Value is { } serial)
            {
                string? refusal = null;
                _ = serial == CaliperChoice.FindSerial ? null : SerialSettings.Parse("port", serial, out refusal);
                settings = settings with { Serial = serial };
                faults.AddRange(refusal is null ? [] : [At(pair.Span, $"serial: {refusal}")]);
                continue;
            }

            Known? known = Array.Find(_known, one => one.Name == key);
            if (known?.Set(settings, pair.Value) is { } set)
            {
                settings = set;
            }
            else
            {
                faults.Add(At(pair.Span, known is null
                    ? $"{PrintableText.Escape(key)} is no setting; known: serial, {string.Join(", ", _known.Select(one => one.Name))}"
                    : $"{key} is not written so; write {key} = {known.Like}"));
            }
        }

        faults.AddRange(document.Tables.Select(table => At(table.Span, "settings have no tables")));
        return faults.Count == 0
            ? settings
            : throw new StationException(ExitCode.BadFile, string.Join('\n', faults.Select(fault => $"{PrintableText.Escape(path)}:{fault}")));
    }

    private static Known Text(string name, string like, Func<Settings, string, Settings?> set) =>
        new(name, like, (settings, value) => value is StringValueSyntax { Value: { } text } ? set(settings, text) : null);

    private static Known Flag(string name, Func<Settings, bool, Settings> set) =>
        new(name, "true or false", (settings, value) => value is BooleanValueSyntax flag ? set(settings, flag.Value) : null);

    private static CaliperRequest? RequestOf(string text) => text switch
    {
        "dtr" => CaliperRequest.ToggleDtr,
        "" => null,
        _ => text.Length <= 16 && text.All(char.IsAscii) ? new CaliperRequest(Encoding.ASCII.GetBytes(text)) : null,
    };

    private static ModemInput? InputOf(string text) => text switch
    {
        "cts" => ModemInput.Cts,
        "dsr" => ModemInput.Dsr,
        "dcd" => ModemInput.Dcd,
        _ => null,
    };

    private static Length? LengthOf(string? text) =>
        text is not null && LengthText.Parse(text, LengthUnit.Millimetre) is { IsLength: true, Value: { UnitWritten: true } length } ? length.Value : null;

    private static List<Length>? BlocksOf(ValueSyntax? value)
    {
        if (value is not ArraySyntax array)
        {
            return null;
        }

        List<Length?> blocks = [.. array.Items.Select(item => LengthOf((item.Value as StringValueSyntax)?.Value))];
        return blocks.Contains(null) ? null : [.. blocks.Select(block => block!.Value)];
    }

    private static string At(SourceSpan span, string words) => FormattableString.Invariant($"{span.Start.Line + 1}:{span.Start.Column + 1}: {words}");
}
