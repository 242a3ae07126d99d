using CaliperStation.Core.Quantities;
using CaliperStation.Core.Standards;
using CaliperStation.Core.Studies;
using CaliperStation.Core.Wire;
using CaliperStation.Files;

namespace CaliperStation.Devices;

/// <summary>What a bench is set to, from <c>settings.toml</c>; the command line goes over it. The page docs/calipers.md explains each.</summary>
internal sealed record Settings
{
    // Digits, marks and unit letters of lengths: a pedal that types one of them would bite into every entry.
    private const string OfLengths = "0123456789.,/+-'\" inchmtkINCHMTK½¼¾";

    /// <summary>Used when there is no file.</summary>
    internal static Settings Default { get; } = new();

    /// <summary>A port's name, <c>auto</c>, <c>emulated</c> or <c>none</c>.</summary>
    internal string Port { get; init; } = "auto";

    /// <summary>Rate and framing of the line.</summary>
    internal string Serial { get; init; } = "9600-8N1";

    /// <summary>The unit of lines that name none, or null to refuse such lines.</summary>
    internal LengthUnit? Unit { get; init; }

    /// <summary>True for instruments that leave bit 8 undefined.</summary>
    internal bool MaskBit8 { get; init; }

    /// <summary>What kind of lines come.</summary>
    internal LineFormat Format { get; init; } = LineFormat.Auto;

    /// <summary>True for 24-bit instruments that count 0.001 mm or 0.00005 in.</summary>
    internal bool Fine24 { get; init; }

    /// <summary>How a two-word instrument behind a bridge sends.</summary>
    internal TwoWordOptions TwoWord { get; init; } = TwoWordOptions.Direct;

    /// <summary>How the modem lines are used: power, and a wired foot switch.</summary>
    internal ModemSettings Modem { get; init; } = ModemSettings.Unused;

    /// <summary>How the caliper is asked for a value at a press; null for one that sends by itself.</summary>
    internal CaliperRequest? Request { get; init; }

    /// <summary>A key that is a press beside the bench's own, by its name, or null.</summary>
    internal string? PressKey { get; init; }

    /// <summary>The one character that a pedal types, which then never is part of an entry; or null.</summary>
    internal string? PressText { get; init; }

    /// <summary>The placement standard of the first page, or null.</summary>
    internal string? Standard { get; init; }

    /// <summary>The list of the day's blouses, or null.</summary>
    internal string? Tags { get; init; }

    /// <summary>Initials of who measures, or null.</summary>
    internal string? Hand { get; init; }

    /// <summary>True when a blouse wants a countersign before it counts as ready in the queue.</summary>
    internal bool Countersign { get; init; }

    /// <summary>A key of a second switch, not so, by its name, or null.</summary>
    internal string? NotSoKey { get; init; }

    /// <summary>The one character that a second switch types, or null.</summary>
    internal string? NotSoText { get; init; }

    /// <summary>True when a click on a key's hint or a line of a list does what the key does.</summary>
    internal bool Mouse { get; init; }

    /// <summary>True when the screen draws value, verdict and next move large, to be read from 70 cm.</summary>
    internal bool Large { get; init; }

    /// <summary>Usual reasons for setting something aside, most usual first.</summary>
    internal IReadOnlyList<string> Reasons { get; init; } = [];

    /// <summary>A command and its arguments that plays a sound file from its input, or null.</summary>
    internal IReadOnlyList<string>? Play { get; init; }

    /// <summary>A command and its arguments that speaks a line from its input, or null.</summary>
    internal IReadOnlyList<string>? Speak { get; init; }

    /// <summary>The smallest move of a pin that a hand can do; advice leaves smaller ones out. Above 0, at most an inch.</summary>
    internal Length SmallestMove { get; init; } = Length.HalfTick;

    /// <summary>What studies found of hands; used in place of the standard's own figure.</summary>
    internal IReadOnlyList<HandFigure> Hands { get; init; } = [];

    /// <summary>How many days old such a figure may be before the bench says so; 0 for never. A year unless set: common practice, no source.</summary>
    internal int HandDays { get; init; } = 365;

    /// <summary>How a caliper is checked.</summary>
    internal CheckSettings Check { get; init; } = CheckSettings.Default;

    /// <summary>Why this cannot be the letter of a switch, or null.</summary>
    internal static string? ValidatePressText(string text) =>
        text.Length != 1 || text[0] <= ' ' ? "it must be one character"
        : OfLengths.Contains(text[0]) ? "lengths are written with it: set the pedal to another key with its own program"
        : null;

    /// <summary>Reads the file, if there is one.</summary>
    /// <exception cref="StationException">Exit 3: every fault of it with its line.</exception>
    internal static Settings Load(string path) => File.Exists(path) ? Parse(GivenFile.ReadText(path), path) : Default;

    /// <summary>Reads the text of a settings file.</summary>
    /// <exception cref="StationException">Exit 3: every fault of it with its line.</exception>
    internal static Settings Parse(string text, string path) => SettingsText.Read(text, path);
}

/// <summary>How a caliper is checked.</summary>
internal sealed record CheckSettings
{
    // before Default, which needs it
    private static readonly IReadOnlyList<CheckPoint> _defaultPoints =
    [
        .. new[] { 0, 30_000, 41_300, 60_000, 90_000, 140_000 }.Select(micrometres => CheckPoint.Asked(Length.FromMicrometres(micrometres))),
        .. new[] { 30_000, 140_000 }.Select(micrometres => CheckPoint.Asked(Length.FromMicrometres(micrometres), CheckPlace.Far)),
    ];

    /// <summary>Unless said.</summary>
    internal static CheckSettings Default { get; } = new();

    /// <summary>How far the caliper opens.</summary>
    internal Length Range { get; init; } = Length.Millimetre.Times(150);

    /// <summary>
    /// Largest permissible errors. 0.02 mm for a digital step of 0.01 mm and short lengths: DIN 862, table of permissible errors
    /// (www.scribd.com/document/564783692/DIN862863); the same in data sheets that quote JIS B 7507 for 0 to 150 mm.
    /// </summary>
    internal CheckLimits Permissible { get; init; } = new(new PermissibleError(Length.FromMicrometres(20)));

    /// <summary>After so many days <c>measure</c> reminds; 0 for never. Common practice, no source.</summary>
    internal int Days { get; init; } = 30;

    /// <summary>
    /// What is read: closed jaws, then five blocks spread over 93 % of 150 mm, the shortest and the longest at the tips too; which lengths a set has is the bench's own (common practice, no source).
    /// 41.3 mm, which is no round length in either unit, is in usual sets for calipers (from memory).
    /// </summary>
    internal IReadOnlyList<CheckPoint> Points { get; init; } = _defaultPoints;

    /// <summary>The check that is asked for.</summary>
    internal CaliperCheck Asked => new(Range, Permissible, Points);
}
