using System.Globalization;
using CaliperStation.Core.Quantities;

namespace CaliperStation.Devices;

/// <summary>One thing an emulated caliper does.</summary>
internal abstract record EmulationAct
{
    private EmulationAct()
    {
    }

    /// <summary>Send this value once.</summary>
    internal sealed record Show(Length Value) : EmulationAct;

    /// <summary>Move the jaws there as a hand would, and go on sending.</summary>
    internal sealed record Gap(Length Value) : EmulationAct;

    /// <summary>Wait.</summary>
    internal sealed record Wait(TimeSpan Time) : EmulationAct;

    /// <summary>Send these bytes as they are.</summary>
    internal sealed record Send(byte[] Bytes) : EmulationAct;

    /// <summary>The caliper's own key: send one value now.</summary>
    internal sealed record Press : EmulationAct;
}

/// <summary>
/// The language of <c>caliper emulate</c>, in a file or on its standard input, one act a line: a length (sent once),
/// <c>gap 1/8 in</c>, <c>wait 500ms</c> or <c>wait 2s</c>, <c>send "text\r\n"</c>, <c>press</c>. Lines that begin with # are notes.
/// </summary>
internal static class EmulationScript
{
    private static readonly TimeSpan _maxWait = TimeSpan.FromHours(1);

    /// <summary>Reads one line; null with null for an empty line or a note, null with the reason when it is no act.</summary>
    internal static EmulationAct? Parse(string line, LengthUnit bareUnit, out string? fault)
    {
        string text = line.Trim();
        fault = null;
        if (text.Length == 0 || text[0] == '#')
        {
            return null;
        }

        int blank = text.IndexOf(' ', StringComparison.Ordinal);
        string word = blank < 0 ? text : text[..blank];
        string rest = blank < 0 ? "" : text[(blank + 1)..].Trim();
        switch (word)
        {
            case "press":
                return new EmulationAct.Press();
            case "gap":
                return LengthOf(rest, bareUnit, out fault) is { } gap ? new EmulationAct.Gap(gap) : null;
            case "wait":
                return WaitOf(rest, out fault);
            case "send":
                return EscapedBytes.Quoted(rest, out fault) is { } bytes ? new EmulationAct.Send(bytes) : null;
            default:
                return LengthOf(text, bareUnit, out fault) is { } value ? new EmulationAct.Show(value) : null;
        }
    }

    /// <summary>Reads a whole script; every fault with its line.</summary>
    internal static IReadOnlyList<EmulationAct> Read(TextReader reader, string name, LengthUnit bareUnit, out IReadOnlyList<string> faults)
    {
        List<EmulationAct> acts = [];
        List<string> wrong = [];
        for (int number = 1; reader.ReadLine() is { } line; number++)
        {
            EmulationAct? act = Parse(line, bareUnit, out string? fault);
            if (act is not null)
            {
                acts.Add(act);
            }
            else if (fault is not null)
            {
                wrong.Add(string.Create(CultureInfo.InvariantCulture, $"{PrintableText.Escape(name)}:{number}: {fault}"));
            }
        }

        faults = wrong;
        return acts;
    }

    private static Length? LengthOf(string text, LengthUnit bareUnit, out string? fault)
    {
        LengthParse parse = LengthText.Parse(text, bareUnit);
        fault = parse.Fault?.Message;
        return parse.IsLength ? parse.Value.Value : null;
    }

    private static EmulationAct.Wait? WaitOf(string text, out string? fault)
    {
        bool isMilli = text.EndsWith("ms", StringComparison.Ordinal);
        string number = isMilli ? text[..^2] : text.EndsWith('s') ? text[..^1] : "";
        if (decimal.TryParse(number.Trim(), NumberStyles.AllowDecimalPoint, CultureInfo.InvariantCulture, out decimal value)
            && value * (isMilli ? 1 : 1000) <= (decimal)_maxWait.TotalMilliseconds)
        {
            fault = null;
            return new EmulationAct.Wait(TimeSpan.FromTicks((long)(value * (isMilli ? 1 : 1000) * TimeSpan.TicksPerMillisecond)));
        }

        fault = "a wait is written as 500ms or 2s, at most an hour";
        return null;
    }
}
