using System.Text;
using BenchmarkDotNet.Attributes;
using CaliperStation.Core.Quantities;
using CaliperStation.Core.Tests.Wire;
using CaliperStation.Core.Wire;

namespace CaliperStation.Benchmarks;

/// <summary>Decoding one megabyte of frames. Target: 200 ms an operation or less, four hundred times as fast as a line of 115,200 baud brings it.</summary>
[MemoryDiagnoser]
public class DecodeBenchmarks : IFrameSink
{
    private const int Bytes = 1_000_000;

    private byte[] _lines = [];
    private byte[] _channel = [];
    private byte[] _bridge = [];
    private byte[] _noise = [];
    private readonly AsciiLineDecoder _ascii = new(new AsciiOptions(LengthUnit.Millimetre));
    private readonly AsciiLineDecoder _masked = new(new AsciiOptions(LengthUnit.Millimetre, MaskBit8: true));
    private readonly BridgeLineDecoder _bridges = new();

    /// <summary>Values seen; keeps the work from being optimised away.</summary>
    public long Values { get; private set; }

    /// <summary>Makes the streams.</summary>
    [GlobalSetup]
    public void Fill()
    {
        _lines = Repeat(i => $"{(i % 2 == 0 ? '+' : '-')}{i % 150}.{i % 1000:D3} mm\r\n");
        _channel = Repeat(i => $"01A+{i % 10_000:D4}.{i % 1000:D3}\r");
        _bridge = Repeat(i => BridgeLineEncoder.Encode(new(i & 0xFFFF, FrameFormat.Bits24, new((ulong)i & 0xFFFFF, 24), 66_000, false, BridgePower.Good)) + "\r\n");
        _noise = new byte[Bytes];
        new Random(1).NextBytes(_noise);
    }

    /// <summary>Lines with a unit.</summary>
    [Benchmark]
    public long Lines() => Decode(_ascii, _lines);

    /// <summary>Lines of a fixed form without unit.</summary>
    [Benchmark]
    public long Channel() => Decode(_ascii, _channel);

    /// <summary>Lines whose eighth bit is masked.</summary>
    [Benchmark]
    public long Masked() => Decode(_masked, _lines);

    /// <summary>Lines of a bridge with 24-bit frames.</summary>
    [Benchmark]
    public long Bridge() => Decode(_bridges, _bridge);

    /// <summary>Noise.</summary>
    [Benchmark]
    public long Noise() => Decode(_ascii, _noise);

    /// <inheritdoc />
    public void Receive(in FrameEvent frameEvent, ReadOnlySpan<byte> raw) => Values += frameEvent.Kind == FrameEventKind.Value ? 1 : 0;

    private long Decode(IFrameDecoder decoder, byte[] bytes)
    {
        for (int at = 0; at < bytes.Length; at += 4096)   // as a port hands them over
        {
            decoder.Feed(bytes.AsSpan(at, Math.Min(4096, bytes.Length - at)), this);
        }

        return Values;
    }

    private static byte[] Repeat(Func<int, string> line)
    {
        StringBuilder text = new(Bytes + 64);
        for (int i = 0; text.Length < Bytes; i++)
        {
            text.Append(line(i));
        }

        return Encoding.ASCII.GetBytes(text.ToString());
    }
}
