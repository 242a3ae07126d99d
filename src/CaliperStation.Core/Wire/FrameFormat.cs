namespace CaliperStation.Core.Wire;

/// <summary>The wire formats, by their structure.</summary>
public enum FrameFormat
{
    /// <summary>24-bit single frame.</summary>
    Bits24,

    /// <summary>Two 24-bit words.</summary>
    TwoWord,

    /// <summary>7-nibble BCD.</summary>
    Bcd7,

    /// <summary>13-nibble BCD.</summary>
    Bcd13,

    /// <summary>ASCII lines.</summary>
    Ascii,
}

/// <summary>Their names on the command line.</summary>
public static class FrameFormats
{
    /// <summary>All names, in the order of <see cref="FrameFormat"/>.</summary>
    public static IReadOnlyList<string> Names { get; } = ["24-bit", "two-word", "7-digit", "13-digit", "ascii"];

    /// <summary>The format of a name.</summary>
    public static bool TryParse(string name, out FrameFormat format)
    {
        for (int i = 0; i < Names.Count; i++)
        {
            if (Names[i] == name)
            {
                format = (FrameFormat)i;
                return true;
            }
        }

        format = default;
        return false;
    }

    /// <summary>The name of a format.</summary>
    public static string Name(FrameFormat format) => Names[(int)format];

    /// <summary>Bits of one frame; 0 for lines.</summary>
    public static int BitsOf(FrameFormat format) => format switch
    {
        FrameFormat.Bits24 => Bits24Layout.Length,
        FrameFormat.TwoWord => TwoWordLayout.Length,
        FrameFormat.Bcd7 => Bcd7Layout.Bits,
        FrameFormat.Bcd13 => Bcd13Layout.Bits,
        FrameFormat.Ascii => 0,
    };
}
