using CaliperStation.Core.Quantities;

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

/// <summary>Counts of the lines in some bytes, read one way.</summary>
internal struct ProbeLines
{
    private int _width;

    public bool IsBridge { get; private init; }

    /// <summary>Value lines, all of one grammar unless <see cref="IsMixed"/>.</summary>
    public int Good { get; private set; }

    /// <summary>Lines that fit nothing; the first is not counted, for it may have begun before.</summary>
    public int Bad { get; private set; }

    public AsciiGrammar Grammar { get; private set; }

    public bool IsMixed { get; private set; }

    public bool NamesUnit { get; private set; }

    /// <summary>True while every value line has the same number of bytes.</summary>
    public bool OneWidth { get; private set; }

    public static ProbeLines Count(ReadOnlySpan<byte> bytes, EighthBit eighth, bool bridge)
    {
        ProbeLines lines = new() { IsBridge = bridge, OneWidth = true };
        Span<byte> masked = stackalloc byte[AsciiLineDecoder.MaxLineLength];
        bool first = true;
        while (bytes.IndexOfAny(Ends(eighth)) is int end and >= 0)
        {
            ReadOnlySpan<byte> line = bytes[..end];
            bytes = bytes[(end + 1)..];
            if (line.IsEmpty)
            {
                continue;
            }

            if (line.Length > masked.Length)
            {
                lines.Bad += first ? 0 : 1;
            }
            else
            {
                for (int i = 0; i < line.Length; i++)
                {
                    masked[i] = eighth == EighthBit.Clear ? line[i] : (byte)(line[i] & 0x7F);
                }

                lines.Add(masked[..line.Length], first);
            }

            first = false;
        }

        return lines;
    }

    private void Add(ReadOnlySpan<byte> line, bool first)
    {
        if (IsBridge)
        {
            bool fits = BridgeLine.TryRead(line, out _, out _);
            NamesUnit |= fits;
            Good += fits ? 1 : 0;
            Bad += fits || first || line[0] == '#' ? 0 : 1;
            return;
        }

        FrameEvent found = AsciiLine.Read(line, new AsciiOptions(LengthUnit.Millimetre), out AsciiGrammar grammar);   // the unit is only to see the form
        if (found.Kind == FrameEventKind.Refused)
        {
            Bad += first ? 0 : 1;
        }
        else if (found.Kind == FrameEventKind.Value && !first)   // the first may be a tail that fits by chance
        {
            IsMixed |= Good > 0 && (grammar != Grammar || NamesUnit != found.Unit is not null);
            Grammar = IsMixed ? AsciiGrammar.None : grammar;
            NamesUnit = found.Unit is not null;
            OneWidth &= Good == 0 || line.Length == _width;
            _width = line.Length;
            Good++;
        }
    }

    /// <summary>CR and LF as they look with their eighth bit.</summary>
    private static ReadOnlySpan<byte> Ends(EighthBit eighth) => eighth == EighthBit.Clear ? "\r\n"u8 : [(byte)'\r', (byte)'\n', 0x8D, 0x8A];
}

/// <summary>What a UART makes of a line whose polarity is turned over, and the way back.</summary>
/// <remarks>
/// With 8N1 the true start bit is read as idle level, so the receiver starts one bit late: every byte it gives is the complement of the sent one
/// shifted left by one. A published log shows it (Arduino forum, thread 543935). The top bit is lost, so only 7-bit text comes back.
/// </remarks>
public static class InvertedLine
{
    /// <summary>The byte that was sent.</summary>
    public static byte Recover(byte received) => (byte)((~received & 0xFF) >> 1);
}
