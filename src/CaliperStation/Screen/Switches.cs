using CaliperStation.Core.Quantities;
using CaliperStation.Devices;
using CaliperStation.Files;
using Terminal.Gui.Input;

namespace CaliperStation.Screen;

/// <summary>What a foot switch that types may send: a key, or one letter. Either is a press, and never part of an entry.</summary>
internal sealed class SwitchKeys
{
    /// <summary>No switch but the bench's own keys.</summary>
    public static SwitchKeys None { get; } = new(null, null);

    private readonly Key? _key;
    private readonly string? _text;

    private SwitchKeys(Key? key, string? text)
    {
        _key = key;
        _text = text;
    }

    /// <summary>The switch of the settings; names that <see cref="Validate"/> refuses are left out.</summary>
    public static SwitchKeys Of(string? key, string? text) => new(key is not null && Key.TryParse(key, out Key? known) ? known : null, text);

    /// <summary>Why this cannot be the name of a switch's key, or null.</summary>
    public static string? Validate(string key) =>
        !Key.TryParse(key, out Key? known) || known == Key.Empty ? $"\"{PrintableText.Escape(key)}\" is no key; write one such as F5"
        : BenchKeys.IsEditing(known) || BenchKeys.ActionOf(known) is not (null or BenchAction.Press or BenchAction.Enter or BenchAction.Space) ? $"the bench itself uses {PrintableText.Escape(key)}"
        : BenchKeys.TextOf(known).Length > 0 && BenchKeys.ActionOf(known) is null ? "a switch that types a letter is set by press-text"
        : null;

    /// <summary>True when the key comes from the switch.</summary>
    public bool Has(Key key) => (_key is not null && key == _key) || (_text is not null && BenchKeys.TextOf(key) == _text);
}

/// <summary>The two switches of a bench.</summary>
/// <param name="Press">One press: the obvious next thing.</param>
/// <param name="NotSo">The other: not so.</param>
internal sealed record Switches(SwitchKeys Press, SwitchKeys NotSo)
{
    /// <summary>No switch but the bench's own keys.</summary>
    internal static Switches None { get; } = new(SwitchKeys.None, SwitchKeys.None);
}

/// <summary>How a screen is set.</summary>
/// <param name="Switches">What foot switches type.</param>
/// <param name="Mouse">True when a click is a press: the terminal's own marking of text then wants Shift.</param>
/// <param name="Large">True when value, verdict and next move are drawn large, to be read from 70 cm.</param>
internal sealed record ScreenSettings(Switches Switches, bool Mouse = false, bool Large = false)
{
    /// <summary>No switch but the bench's own keys, no mouse, the usual face.</summary>
    internal static ScreenSettings Usual { get; } = new(Switches.None);

    /// <summary>Of the settings.</summary>
    /// <param name="settings">The settings.</param>
    /// <param name="path">Their file, for what is told.</param>
    /// <exception cref="StationException">Exit 3: a key that cannot be a switch's.</exception>
    internal static ScreenSettings Of(Settings settings, string path)
    {
        foreach ((string setting, string? key) in ((string, string?)[])[("press-key", settings.PressKey), ("not-so-key", settings.NotSoKey)])
        {
            if (key is not null && SwitchKeys.Validate(key) is { } fault)
            {
                throw new StationException(ExitCode.BadFile, $"{path}: {setting}: {fault}.");
            }
        }

        Switches switches = new(SwitchKeys.Of(settings.PressKey, settings.PressText), SwitchKeys.Of(settings.NotSoKey, settings.NotSoText));
        return new ScreenSettings(switches, settings.Mouse, settings.Large);
    }
}
