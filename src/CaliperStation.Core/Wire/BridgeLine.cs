using System.Globalization;
using System.Text;
using System.Text.RegularExpressions;

namespace CaliperStation.Core.Wire;

/// <summary>What the bridge knows of the caliper's supply.</summary>
public enum BridgePower
{
    /// <summary>Level as it should be.</summary>
    Good,

    /// <summary>Level low: change the cell.</summary>
    Low,

    /// <summary>Not measured.</summary>
    Unknown,
}

/// <summary>One line of a bridge board: one frame of a bit format.</summary>
/// <remarks>
/// <c>B1 ssss fff nn h… ttttttt p w cccc</c>: version, sequence number (hex), format, number of bits, the bits as hex nibbles in arrival
/// order (first bit lowest), silence before in microseconds, polarity, power, CRC-16. <c>firmware-notes/bridge-line.md</c> defines it.
/// </remarks>
/// <param name="Sequence">One more for each line, 65535 is followed by 0.</param>
/// <param name="Format">One of the bit formats.</param>
/// <param name="Bits">As they arrived.</param>
/// <param name="SilenceMicroseconds">From the end of the burst before to the start of this one; 9999999 is that or more.</param>
/// <param name="Inverted">True when the bits came through an inverting stage and were not turned back.</param>
/// <param name="Power">Of the caliper.</param>
public readonly partial record struct BridgeLine(
    int Sequence, FrameFormat Format, FrameBits Bits, int SilenceMicroseconds, bool Inverted, BridgePower Power)
{
    /// <summary>The longest line, without terminator: 16 nibbles.</summary>
    public const int Longest = 49;

    /// <summary>The most that the silence field can say.</summary>
    public const int MaxSilence = 9_999_999;

    internal const string NotABridgeLine = "the line is not a bridge line";
    internal const string BadCrc = "the bridge line was damaged on its way (its CRC does not fit)";

    internal static readonly Dictionary<string, FrameFormat> Formats = new()
    {
        ["S24"] = FrameFormat.Bits24,
        ["W48"] = FrameFormat.TwoWord,
        ["D28"] = FrameFormat.Bcd7,
        ["D52"] = FrameFormat.Bcd13,
    };

    [GeneratedRegex(
        @"\AB1 (?<sequence>[0-9A-F]{4}) (?<format>S24|W48|D28|D52) (?<count>[0-9]{2}) (?<nibbles>[0-9A-F]{1,16}) (?<silence>[0-9]{7}) (?<polarity>[DI]) (?<power>[GLU]) (?<crc>[0-9A-F]{4})\z",
        RegexOptions.CultureInvariant | RegexOptions.ExplicitCapture)]
    private static partial Regex Form { get; }

    /// <summary>Reads one whole line without its terminator.</summary>
    /// <returns>True with the line; false with the reason.</returns>
    public static bool TryRead(ReadOnlySpan<byte> text, out BridgeLine line, out string refusal)
    {
        line = default;
        refusal = NotABridgeLine;
        Match match = Form.Match(Encoding.Latin1.GetString(text));
        string nibbles = match.Groups["nibbles"].Value;
        if (!match.Success || !int.TryParse(match.Groups["count"].ValueSpan, NumberStyles.None, CultureInfo.InvariantCulture, out int count)
            || count is < 1 or > FrameBits.Most || nibbles.Length != (count + 3) / 4)
        {
            return false;
        }

        FrameBits bits = nibbles.Aggregate(default(FrameBits), (read, nibble) => read.AddNibble(char.IsAsciiDigit(nibble) ? nibble - '0' : nibble - 'A' + 10));
        if (count < FrameBits.Most && bits.Bits >> count != 0)
        {
            return false;   // the last nibble may be wider than the frame, but what is over is 0
        }

        if (Hex(match, "crc") != Crc16.Of(text[..^5]))   // all but the blank and the CRC itself
        {
            refusal = BadCrc;
            return false;
        }

        refusal = string.Empty;
        line = new(
            Hex(match, "sequence"),
            Formats[match.Groups["format"].Value],
            new(bits.Bits, count),
            int.Parse(match.Groups["silence"].ValueSpan, NumberStyles.None, CultureInfo.InvariantCulture),
            match.Groups["polarity"].ValueSpan is "I",
            (BridgePower)"GLU".IndexOf(match.Groups["power"].Value, StringComparison.Ordinal));
        return true;
    }

    private static int Hex(Match match, string field) => int.Parse(match.Groups[field].ValueSpan, NumberStyles.AllowHexSpecifier, CultureInfo.InvariantCulture);
}
