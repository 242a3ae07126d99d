namespace CaliperStation.Core.Wire;

/// <summary>What the eighth bit of every byte is, when the line was read as 8N1.</summary>
public enum EighthBit
{
    /// <summary>Always 0: eight data bits, or seven and space.</summary>
    Clear,

    /// <summary>Makes every byte even: the instrument sends 7E1 or 7E2.</summary>
    EvenParity,

    /// <summary>Makes every byte odd: 7O1 or 7O2.</summary>
    OddParity,

    /// <summary>Neither: undefined, to be masked.</summary>
    Undefined,
}

/// <summary>How much the bytes say.</summary>
public enum ProbeVerdict
{
    /// <summary>No byte came.</summary>
    Silent,

    /// <summary>Nothing speaks against a format, but too few whole lines came to trust it.</summary>
    Undecided,

    /// <summary>Enough whole lines of one format and none of another.</summary>
    Fits,

    /// <summary>The bytes are no format that is known, under this line setting.</summary>
    NoFit,
}

/// <summary>What one stretch of bytes says, with the counts it rests on.</summary>
/// <param name="Verdict">How much.</param>
/// <param name="Bridge">True for lines of a bridge board.</param>
/// <param name="Grammar">The grammar of the value lines; <see cref="AsciiGrammar.None"/> for a bridge, or when there is none or more than one.</param>
/// <param name="NamesUnit">True when the lines name their unit; else a person must set it.</param>
/// <param name="EighthBit">Of the bytes as read.</param>
/// <param name="Good">Value lines of that one format.</param>
/// <param name="Bad">Lines that fit nothing, the first and an unfinished last one apart.</param>
/// <param name="Bytes">How many bytes were looked at.</param>
/// <param name="Hint">What is likely wrong, in words, or null.</param>
public readonly record struct ProbeResult(
    ProbeVerdict Verdict, bool Bridge, AsciiGrammar Grammar, bool NamesUnit, EighthBit EighthBit, int Good, int Bad, int Bytes, string? Hint);

/// <summary>Says which line format some bytes fit that were received as 8N1 at one speed. Pure.</summary>
/// <remarks>
/// Only formats that arrive as lines are probed: bit formats come through a bridge, which names them. It never fits on a format that one wrong frame
/// could pass: <see cref="LinesToFit"/> whole lines of one grammar and not one bad line between are asked for, and of bare numbers, which carry nothing but
/// digits, <see cref="BareLinesToFit"/> of one width. Parity needs no second try: the eighth bit shows it.
/// </remarks>
public static class FormatProbe
{
    /// <summary>A unit or a prefix in each of three lines: noise gave none in ten million bytes.</summary>
    public const int LinesToFit = 3;

    /// <summary>Six lines in 3 s come from the slowest free-running instrument published, 300 ms a line.</summary>
    public const int BareLinesToFit = 6;

    internal const string Inverted = "the line's polarity is turned over: an RS-232 level stage is missing or doubled";
    internal const string WrongSpeed = "the bytes are no text: the speed is wrong, or clock and data are swapped";
    internal const string NoLineEnd = "text comes, but no line ends: the speed may be wrong, or the instrument ends lines in an unknown way";
    internal const string Unknown = "lines come, but of no known form";
    internal const string Mixed = "lines of more than one form come";
    internal const string FewLines = "more lines are needed to be sure";

    /// <summary>What the bytes say.</summary>
    public static ProbeResult Of(ReadOnlySpan<byte> bytes)
    {
        if (bytes.IsEmpty)
        {
            return new(ProbeVerdict.Silent, false, AsciiGrammar.None, false, EighthBit.Clear, 0, 0, 0, null);
        }

        EighthBit eighth = EighthBitOf(bytes);
        ProbeLines bridge = ProbeLines.Count(bytes, eighth, bridge: true);
        ProbeLines lines = bridge.Good > 0 ? bridge : ProbeLines.Count(bytes, eighth, bridge: false);
        bool bare = lines is { IsBridge: false, Grammar: AsciiGrammar.BareNumber };
        bool enough = lines.Good >= (bare ? BareLinesToFit : LinesToFit) && (!bare || lines.OneWidth);
        ProbeVerdict verdict = lines.Bad > 0 || lines.IsMixed || (lines.Good == 0 && bytes.Length >= AsciiLineDecoder.MaxLineLength) ? ProbeVerdict.NoFit
            : enough ? ProbeVerdict.Fits
            : ProbeVerdict.Undecided;
        string? hint = verdict switch
        {
            ProbeVerdict.NoFit => WhatIsWrong(bytes, lines),
            ProbeVerdict.Undecided => FewLines,
            ProbeVerdict.Silent or ProbeVerdict.Fits => null,
        };
        return new(verdict, lines.IsBridge, lines.Grammar, lines.NamesUnit, eighth, lines.Good, lines.Bad, bytes.Length, hint);
    }

    /// <summary>The index of the only line setting whose bytes fit; null when none does, or more than one.</summary>
    public static int? Only(IReadOnlyList<ProbeResult> bySetting)
    {
        int? only = null;
        for (int i = 0; i < bySetting.Count; i++)
        {
            if (bySetting[i].Verdict == ProbeVerdict.Fits)
            {
                if (only is not null)
                {
                    return null;
                }

                only = i;
            }
        }

        return only;
    }

    private static EighthBit EighthBitOf(ReadOnlySpan<byte> bytes)
    {
        bool clear = true;
        bool even = true;
        bool odd = true;
        foreach (byte value in bytes)
        {
            bool isOdd = int.IsOddInteger(int.PopCount(value));
            clear &= value < 0x80;
            even &= !isOdd;
            odd &= isOdd;
        }

        return clear ? EighthBit.Clear : even ? EighthBit.EvenParity : odd ? EighthBit.OddParity : EighthBit.Undefined;
    }

    private static string WhatIsWrong(ReadOnlySpan<byte> bytes, in ProbeLines lines)
    {
        if (lines.IsMixed)
        {
            return Mixed;
        }

        byte[] turned = new byte[bytes.Length];
        int text = 0;
        for (int i = 0; i < bytes.Length; i++)
        {
            turned[i] = InvertedLine.Recover(bytes[i]);
            text += bytes[i] is >= 0x20 and <= 0x7E or (byte)'\r' or (byte)'\n' ? 1 : 0;
        }

        if (ProbeLines.Count(turned, EighthBit.Clear, bridge: false).Good >= 1)
        {
            return Inverted;
        }

        bool mostlyText = text >= bytes.Length - (bytes.Length / 8);
        return !mostlyText ? WrongSpeed : bytes.ContainsAny((byte)'\r', (byte)'\n') ? Unknown : NoLineEnd;
    }
}
