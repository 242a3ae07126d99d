using System.Globalization;
using System.Text;

namespace CaliperStation.Core.Frames;

/// <summary>Writes the line a bridge would send; for the emulator and the tests.</summary>
public static class BridgeLineEncoder
{
    /// <summary>The line without its terminator.</summary>
    /// <exception cref="ArgumentOutOfRangeException">A field does not fit its width, or the format is not one of bits.</exception>
    public static string Encode(in BridgeLine line)
    {
        ArgumentOutOfRangeException.ThrowIfGreaterThan((uint)line.Sequence, 0xFFFFu, nameof(line));
        ArgumentOutOfRangeException.ThrowIfGreaterThan((uint)line.SilenceMicroseconds, (uint)BridgeLine.MostSilence, nameof(line));
        ArgumentOutOfRangeException.ThrowIfGreaterThan((uint)(line.Bits.Count - 1), (uint)(FrameBits.Most - 1), nameof(line));
        StringBuilder hex = new();
        for (int i = 0; i < (line.Bits.Count + 3) / 4; i++)
        {
            hex.Append("0123456789ABCDEF"[line.Bits.Nibble(i)]);
        }

        char power = line.Power switch
        {
            BridgePower.Good => 'G',
            BridgePower.Low => 'L',
            BridgePower.Unknown => 'U',
        };
        string covered = string.Create(CultureInfo.InvariantCulture,
            $"B1 {line.Sequence:X4} {FormatName(line.Format)} {line.Bits.Count:D2} {hex} {line.SilenceMicroseconds:D7} {(line.Inverted ? 'I' : 'D')} {power}");
        return string.Create(CultureInfo.InvariantCulture, $"{covered} {Crc16.Of(Encoding.ASCII.GetBytes(covered)):X4}");
    }

    private static string FormatName(FrameFormat format) => format switch
    {
        FrameFormat.Bits24 => "S24",
        FrameFormat.TwoWord => "W48",
        FrameFormat.Bcd7 => "D28",
        FrameFormat.Bcd13 => "D52",
        FrameFormat.Ascii => throw new ArgumentOutOfRangeException(nameof(format), "A bridge sends bits."),
    };
}
