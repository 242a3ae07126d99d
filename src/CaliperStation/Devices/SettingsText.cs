using System.Text;
using CaliperStation.Core.Quantities;
using CaliperStation.Core.Reports;
using CaliperStation.Core.Sittings;
using CaliperStation.Core.Studies;
using CaliperStation.Core.Toml;
using CaliperStation.Core.Wire;
using CaliperStation.Files;

namespace CaliperStation.Devices;

/// <summary>Reads the text of <c>settings.toml</c>: every fault with its line, column and what to write.</summary>
internal static class SettingsText
{
    /// <summary>One setting: its key with an example, and how its value changes the settings; null when the value is none of its.</summary>
    private sealed record Known(KeyFormat Key, Func<Settings, TomlNode, Settings?> Set);

    private const int MaxWords = 20;
    private const int MaxWordLength = 500;
    private const int MaxKeyLength = 30;   // which keys there are, the screen knows

    private static readonly Known[] _known =
    [
        Text("port", "\"auto\"", (settings, port) => settings with { Port = port }),
        Text("serial", "\"9600-8N1\" (baud rate, 7 or 8 data bits, parity N, O or E, 1 or 2 stop bits) or \"find\"", (settings, serial) =>
            serial == CaliperChoice.FindSerial || SerialSettings.Parse("port", serial, out _) is not null ? settings with { Serial = serial } : null),
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
        Flag("two-word-negated", (settings, on) => settings with { TwoWord = settings.TwoWord with { Negated = on } }),
        Text("request", "\"R\\r\", \"?\\r\", \"1\" or \"dtr\"", (settings, request) => RequestOf(request) is { } asked ? settings with { Request = asked } : null),
        Text("lines-on", "\"rts\", \"dtr\" or \"rts dtr\"", (settings, lines) => lines.Split(' ') is var on && on.All(line => line is "rts" or "dtr")
            ? settings with { Modem = settings.Modem with { Rts = on.Contains("rts"), Dtr = on.Contains("dtr") } }
            : null),
        Text("switch-line", "\"cts\", \"dsr\" or \"dcd\" (the ring line has no level that can be read)", (settings, line) => InputOf(line) is { } input
            ? settings with { Modem = settings.Modem with { Switch = input } }
            : null),
        Text("switch-pressed", "\"on\" or \"off\"", (settings, when) => when is "on" or "off" ? settings with { Modem = settings.Modem with { PressedWhenOn = when == "on" } } : null),
        Text("press-key", "a key that does nothing else here, such as \"F5\"", (settings, key) => key.Length is > 0 and <= MaxKeyLength ? settings with { PressKey = key } : null),
        Text("press-text", "one letter that no length is written with, such as \"b\"", (settings, text) => Settings.ValidatePressText(text) is null ? settings with { PressText = text } : null),
        Text("standard", "the path of a standard", (settings, path) => path.Length > 0 ? settings with { Standard = path } : null),
        Text("tags", "the path of a list of tags", (settings, path) => path.Length > 0 ? settings with { Tags = path } : null),
        Text("hand", "initials, such as \"AB\"", (settings, hand) => Initials.Validate(hand) is null ? settings with { Hand = hand } : null),
        Flag("countersign", (settings, on) => settings with { Countersign = on }),
        Text("not-so-line", "\"cts\", \"dsr\" or \"dcd\"", (settings, line) => InputOf(line) is { } input ? settings with { Modem = settings.Modem with { NotSo = input } } : null),
        Text("not-so-key", "a key that does nothing else here, such as \"F7\"", (settings, key) => key.Length is > 0 and <= MaxKeyLength ? settings with { NotSoKey = key } : null),
        Text("not-so-text", "one letter that no length is written with, such as \"x\"", (settings, text) => Settings.ValidatePressText(text) is null ? settings with { NotSoText = text } : null),
        Flag("mouse", (settings, on) => settings with { Mouse = on }),
        Flag("large", (settings, on) => settings with { Large = on }),
        Words("reasons", "[\"the cloth does not allow it\", \"as ordered\"]", (settings, reasons) => reasons.All(reason => Sitting.ValidateReason(reason, "reasons") is null) ? settings with { Reasons = reasons } : null),
        Words("play", "[\"aplay\", \"-q\"]", (settings, words) => settings with { Play = words }),
        Words("speak", "[\"espeak-ng\"]", (settings, words) => settings with { Speak = words }),
        Text("smallest-move", "a length above 0 and at most 1 in, such as \"1/64 in\"", (settings, text) =>
            LengthOf(text) is { } move && move > Length.Zero && move <= Length.Inch ? settings with { SmallestMove = move } : null),
        new(new(HandFigureSettings.Key, false, HandFigureSettings.Example), (settings, value) => HandFigureSettings.Read(value, LengthOf) is { } hands ? settings with { Hands = hands } : null),
        new(new("hand-days", false, "365"), (settings, value) => value is TomlNumber { Whole: >= 0 and <= 3_650 } days ? settings with { HandDays = (int)days.Whole } : null),
        Text("check-range", "\"150 mm\"", (settings, text) => LengthOf(text) is { } range ? settings with { Check = settings.Check with { Range = range } } : null),
        Permissible("check-permissible", "\"0.02 mm\", or \"0.02 mm + L/10000\" where it grows with the length", (limits, error) => limits with { Outside = error }),
        Permissible("check-permissible-inside", "\"0.04 mm\"", (limits, error) => limits with { Inside = error }),
        Permissible("check-permissible-depth", "\"0.04 mm\"", (limits, error) => limits with { Depth = error }),
        new(new("check-days", false, "30"), (settings, value) => value is TomlNumber { Whole: >= 0 and <= 3_650 } days ? settings with { Check = settings.Check with { Days = (int)days.Whole } } : null),
        new(new("check-blocks", false, "[\"0 mm\", \"30 mm\", \"140 mm far\"] (near, far, inside, depth)"), (settings, value) => PointsOf(value) is { } points ? settings with { Check = settings.Check with { Points = points } } : null),
    ];

    private static readonly TableFormat _format = new("settings", false, 1, [.. _known.Select(known => known.Key)]);

    /// <summary>Reads the text.</summary>
    /// <exception cref="StationException">Exit 3: every fault of it with its line.</exception>
    internal static Settings Read(string text, string path)
    {
        FaultList faults = new();
        Settings settings = Settings.Default;
        TomlTable root = TomlReader.Read(text, faults) ?? TomlTable.Empty;
        TableReader table = new(root, _format, faults, "settings.toml");
        foreach (Known known in _known)
        {
            if (table.Find(known.Key.Name)?.Node is not { } value)
            {
                continue;
            }

            if (known.Set(settings, value) is { } set)
            {
                settings = set;
            }
            else
            {
                faults.Add(value.Place, $"{known.Key.Name} is not written so", known.Key.Example);
            }
        }

        return faults.Any ? throw new StationException(ExitCode.BadFile, FaultText.All(path, text, faults.InOrder())) { Faults = faults.InOrder() } : settings;
    }

    private static Known Text(string name, string like, Func<Settings, string, Settings?> set) =>
        new(new(name, false, like), (settings, value) => value is TomlText { Value: var text } ? set(settings, text) : null);

    private static Known Words(string name, string like, Func<Settings, IReadOnlyList<string>, Settings?> set) =>
        new(new(name, false, like), (settings, value) => value is TomlList { Items: { Count: > 0 and <= MaxWords } items } && items.All(item => item is TomlText { Value.Length: > 0 and <= MaxWordLength })
            ? set(settings, [.. items.Cast<TomlText>().Select(item => item.Value)])
            : null);

    private static Known Flag(string name, Func<Settings, bool, Settings> set) =>
        new(new(name, false, "true or false"), (settings, value) => value is TomlFlag flag ? set(settings, flag.Value) : null);

    private static Known Permissible(string name, string like, Func<CheckLimits, PermissibleError, CheckLimits> set) => Text(name, like, (settings, text) =>
        PermissibleError.Parse(text) is { } error ? settings with { Check = settings.Check with { Permissible = set(settings.Check.Permissible, error) } } : null);

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

    private static CheckPoint? PointOf(string? text) =>
        text is not null && CheckWords.Split(text) is var (length, place) && LengthOf(length) is { } block ? CheckPoint.Asked(block, place) : null;

    private static List<CheckPoint>? PointsOf(TomlNode value)
    {
        if (value is not TomlList list)
        {
            return null;
        }

        List<CheckPoint?> points = [.. list.Items.Select(item => PointOf((item as TomlText)?.Value))];
        return points.Contains(null) ? null : [.. points.Select(point => point!.Value)];
    }
}
