using CaliperStation.Core.Quantities;
using CaliperStation.Screen;

namespace CaliperStation.Cli;

/// <summary>What a switch sent, and the setting that makes it a press.</summary>
/// <param name="Words">What arrived.</param>
/// <param name="Key">The setting's name; null when none is needed or none can be.</param>
/// <param name="Value">The setting's value.</param>
internal sealed record SwitchFound(string Words, string? Key = null, string? Value = null)
{
    /// <summary>Every setting that it needs, the first one above among them.</summary>
    internal IReadOnlyList<(string Key, string Value)> Settings { get; private init; } = Key is null ? [] : [(Key, Value!)];

    /// <summary>A key of a terminal.</summary>
    internal static SwitchFound OfKey(ConsoleKeyInfo key)
    {
        if (key.Key is ConsoleKey.Enter or ConsoleKey.Spacebar or ConsoleKey.F2)
        {
            return new($"It types {key.Key}, which is a press already: nothing needs to be set.");
        }

        if (key.Key is >= ConsoleKey.F1 and <= ConsoleKey.F12)
        {
            string name = key.Key.ToString();
            return SwitchKeys.Complaint(name) is { } complaint ? new($"It types the key {name}, but {complaint}. Set the pedal to another key with its own program.") : new($"It types the key {name}.", "press-key", name);
        }

        return char.IsControl(key.KeyChar)
            ? new($"It types {key.Key}, which cannot be told from other keys on every terminal. Set the pedal to F5 or to the letter b with its own program.")
            : OfText(key.KeyChar.ToString());
    }

    /// <summary>A character, from a terminal or a pipe.</summary>
    internal static SwitchFound OfText(string text)
    {
        string shown = PrintableText.Escape(text);
        return text.Trim().Length == 0 ? new("It types an empty line or a blank, which is a press already: nothing needs to be set.")
            : Devices.Settings.PressTextComplaint(text) is { } complaint ? new($"It types \"{shown}\", but {complaint}.")
            : new($"It types the letter \"{shown}\". As a switch it is never part of an entry; type the capital letter where it is wanted.", "press-text", text);
    }

    /// <summary>A modem line that went on or off while RTS and DTR were on, as they must be when the switch is used.</summary>
    internal static SwitchFound OfLine(Devices.ModemInput line, bool on)
    {
        string name = line.ToString().ToLowerInvariant();
        string level = on ? "on" : "off";
        return new($"The line {name.ToUpperInvariant()} went {level}.", "switch-line", name)
        {
            Settings = [("switch-line", name), ("switch-pressed", level), ("lines-on", "rts dtr")],
        };
    }
}
