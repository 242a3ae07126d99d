using System.Globalization;
using CaliperStation.Core.Quantities;
using CaliperStation.Core.Wire;

namespace CaliperStation.Benchmarks;

/// <summary>Counts the false readings in ten million random bytes, format by format: <c>noise [seed]</c>.</summary>
internal sealed class NoiseCount : IFrameSink
{
    private const int Bytes = 10_000_000;

    private long _values;

    public void Receive(in FrameEvent frameEvent, ReadOnlySpan<byte> raw) => _values += frameEvent.Kind == FrameEventKind.Value ? 1 : 0;

    internal static void Run(int seed, TextWriter output)
    {
        byte[] noise = new byte[Bytes];
        new Random(seed).NextBytes(noise);
        output.WriteLine(string.Create(CultureInfo.InvariantCulture, $"false readings in {Bytes} random bytes, seed {seed}"));
        Tell(output, "lines with a unit", new AsciiLineDecoder(), noise);
        Tell(output, "lines with a unit, bit 8 masked", new AsciiLineDecoder(new(MaskBit8: true)), noise);
        Tell(output, "any line, unit set", new AsciiLineDecoder(new(LengthUnit.Millimetre)), noise);
        Tell(output, "any line, unit set, bit 8 masked", new AsciiLineDecoder(new(LengthUnit.Millimetre, MaskBit8: true)), noise);
        Tell(output, "bridge lines", new BridgeLineDecoder(), noise);
        foreach (FrameFormat format in (FrameFormat[])[FrameFormat.Bits24, FrameFormat.TwoWord, FrameFormat.Bcd7, FrameFormat.Bcd13])
        {
            (long frames, long values) = Bare(format, noise);
            output.WriteLine(string.Create(CultureInfo.InvariantCulture,
                $"{FrameFormats.Name(format)}, bare and of the right length: {values} of {frames} frames ({(double)values / frames:P3})"));
        }
    }

    private static void Tell(TextWriter output, string name, IFrameDecoder decoder, byte[] noise)
    {
        NoiseCount count = new();
        decoder.Feed(noise, count);
        output.WriteLine(string.Create(CultureInfo.InvariantCulture, $"{name}: {count._values}"));
    }

    private static (long Frames, long Values) Bare(FrameFormat format, byte[] noise)
    {
        int bits = FrameFormats.BitsOf(format);
        int bytes = (bits + 7) / 8;
        long frames = 0;
        long values = 0;
        for (int at = 0; at + bytes <= noise.Length; at += bytes)
        {
            ulong word = 0;
            for (int i = 0; i < bytes; i++)
            {
                word |= (ulong)noise[at + i] << (8 * i);
            }

            frames++;
            values += FrameDecode.Decode(format, new FrameBits(word & ((1UL << bits) - 1), bits), FrameOptions.Default).Kind == FrameEventKind.Value ? 1 : 0;
        }

        return (frames, values);
    }
}
