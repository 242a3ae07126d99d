using System.Buffers;
using System.Text;

namespace CaliperStation.Storage;

/// <summary>Distinguishes a torn (unfinished) write from later corruption of a complete line.</summary>
/// <remarks>
/// The first was never acknowledged and may be cut off; the second may have been, so it is damage and stays. A crash or a power
/// cut leaves a write short, or with whole sectors (512 bytes or more) as zeros or as something else; rot or a hand changes a
/// byte or two. So: bytes that begin as a line begins and end as a line ends, with few bytes between that no line
/// holds, were whole once.
/// </remarks>
internal static class TornWrite
{
    private const int MaxRot = 8;
    private static readonly SearchValues<byte> _hashDigits = SearchValues.Create("0123456789abcdef"u8);

    /// <summary>True when a line that was whole once stands at the start of the bytes.</summary>
    public static bool HoldsAWholeLine(ReadOnlySpan<byte> bytes)
    {
        int rot = Differences(bytes, "{\"n\":"u8);
        for (int index = 0; index < bytes.Length && rot <= MaxRot;)
        {
            if (bytes[index] == (byte)'\n')
            {
                if (rot + TailRot(bytes[..index]) <= MaxRot)
                {
                    return true;
                }

                bool betweenLines = bytes[..index].EndsWith("\"}"u8) && bytes[(index + 1)..].StartsWith("{\"n\":"u8);
                rot += betweenLines ? 0 : 1;
                index++;
                continue;
            }

            OperationStatus status = Rune.DecodeFromUtf8(bytes[index..], out Rune rune, out int used);
            rot += status != OperationStatus.Done ? used : rune.Value < 0x20 ? 1 : 0;
            index += used;
        }

        return false;
    }

    private static int TailRot(ReadOnlySpan<byte> line)
    {
        if (line.Length < JournalFormat.TailLength)
        {
            return JournalFormat.TailLength;
        }

        ReadOnlySpan<byte> tail = line[^JournalFormat.TailLength..];
        int rot = Differences(tail, ",\"h\":\""u8) + Differences(tail[^2..], "\"}"u8);
        foreach (byte digit in tail[6..^2])
        {
            rot += _hashDigits.Contains(digit) ? 0 : 1;
        }

        return rot;
    }

    private static int Differences(ReadOnlySpan<byte> bytes, ReadOnlySpan<byte> expected)
    {
        int same = 0;
        for (int index = 0; index < Math.Min(bytes.Length, expected.Length); index++)
        {
            same += bytes[index] == expected[index] ? 1 : 0;
        }

        return expected.Length - same;
    }
}
