using CaliperStation.Core.Quantities;

namespace CaliperStation.Core.Wire;

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
