using System.Text;
using CaliperStation.Core.Quantities;
using CaliperStation.Core.Wire;
using CsCheck;
using Xunit.Abstractions;

namespace CaliperStation.Core.Tests.Wire;

/// <summary>What noise becomes. The benchmarks' <c>noise</c> program counts the same over ten million bytes.</summary>
public sealed class NoiseTests(ITestOutputHelper output)
{
    private const int Bytes = 1_000_000;

    private static readonly FrameOptions Metric = FrameOptions.Default with { Ascii = new(LengthUnit.Millimetre) };

    [Fact]
    public void No_value_comes_out_of_a_million_random_bytes_where_lines_carry_a_unit_or_a_check()
    {
        byte[] noise = Noise(1);
        Assert.Equal(0, Count(new AsciiLineDecoder(), noise));
        Assert.Equal(0, Count(new AsciiLineDecoder(new(MaskBit8: true)), noise));
        Assert.Equal(0, Count(new BridgeLineDecoder(), noise));
        foreach (AsciiGrammar fixedForm in (AsciiGrammar[])[AsciiGrammar.ChannelLetter, AsciiGrammar.ChannelType, AsciiGrammar.Box, AsciiGrammar.Coded, AsciiGrammar.CommaUnit, AsciiGrammar.Padded])
        {
            Assert.Equal(0, Count(new AsciiLineDecoder(new(LengthUnit.Millimetre, Only: fixedForm)), noise));
        }
    }

    /// <summary>Longer runs look at more noise, other at each time, bounded in memory.</summary>
    [Fact]
    public void No_value_comes_out_of_noise_that_nobody_saw_before_either()
    {
        for (long run = 0; run < FuzzLength.Of(1); run++)
        {
            int seed = run == 0 ? 3 : Random.Shared.Next();   // an ordinary run is the same each time
            byte[] noise = Noise(seed);
            int values = Count(new AsciiLineDecoder(), noise) + Count(new AsciiLineDecoder(new(MaskBit8: true)), noise) + Count(new BridgeLineDecoder(), noise) + Count(new AutoLineDecoder(FrameOptions.Default), noise);
            Assert.True(values == 0, $"seed {seed}");
        }
    }

    [Fact]
    public void The_share_of_random_frames_that_a_bare_format_cannot_tell_from_readings_is_as_its_layout_says()
    {
        byte[] noise = Noise(2);
        output.WriteLine($"bare numbers in {Bytes} bytes: {Count(new AsciiLineDecoder(Metric.Ascii), noise)}");
        double bits24 = Share(FrameFormat.Bits24, noise);
        double bcd7 = Share(FrameFormat.Bcd7, noise);
        double bcd13 = Share(FrameFormat.Bcd13, noise);
        output.WriteLine($"24-bit {bits24:F4}, two-word 1, 7-digit {bcd7:F4}, 13-digit {bcd13:E2}");
        Assert.InRange(bits24, 0.24, 0.26);                                             // two zero bits
        Assert.InRange(bcd7, Math.Pow(0.625, 6) * 0.75 * 0.9, Math.Pow(0.625, 6) * 0.75 * 1.1);   // six digits; not H with M
        Assert.InRange(bcd13, 0, 1e-4);                                                 // type, filler, sign, digits, point, unit
        Assert.Equal(1, Share(FrameFormat.TwoWord, noise));                             // nothing to check but the length
    }

    [Fact]
    public void Whatever_comes_no_decoder_throws_or_grows_and_every_line_is_one_event()
    {
        Func<IFrameDecoder>[] makers = [() => new AsciiLineDecoder(Metric.Ascii), () => new AsciiLineDecoder(new(MaskBit8: true)), () => new BridgeLineDecoder()];
        Gen<byte> wire = Gen.Frequency((4, Gen.Byte), (8, Gen.Byte[0x20, 0x7E]), (8, Gen.Byte[(byte)'0', (byte)'9']), (2, Pick.From((byte)'\r', (byte)'\n', (byte)'.', (byte)'+', (byte)'-')));
        Gen.Select(wire.Array[0, 400], Gen.Int[0, 2], Gen.Int[0, 400]).Sample((bytes, which, cut) =>
        {
            IFrameDecoder decoder = makers[which]();
            CollectingSink sink = new();
            int at = Math.Min(cut, bytes.Length);
            decoder.Feed(bytes.AsSpan(0, at), sink);
            decoder.Silence(TimeSpan.FromMilliseconds(cut), sink);
            decoder.Feed(bytes.AsSpan(at), sink);
            return sink.Taken.TrueForAll(one => one.Raw.Length <= AsciiLineDecoder.MaxLineLength && (one.Event.Kind == FrameEventKind.Value) == (one.Event.Why is null));
        }, iter: FuzzLength.Of(5_000));
    }

    [Fact]
    public void Any_line_of_text_given_to_decode_is_an_event() =>
        Gen.Select(Gen.String, Gen.Int[0, 4]).Sample((line, format) => FrameDecode.Decode((FrameFormat)format, line, Metric).Kind != FrameEventKind.Value || line.Length > 2, iter: FuzzLength.Of(10_000));

    [Fact]
    public void A_damaged_line_is_never_a_wrong_value_where_its_form_is_fixed()
    {
        byte[] good = Encoding.ASCII.GetBytes("01A+0012.345");
        AsciiOptions only = new(LengthUnit.Millimetre, Only: AsciiGrammar.ChannelLetter);
        for (int lost = 0; lost < good.Length; lost++)
        {
            byte[] bad = [.. good[..lost], .. good[(lost + 1)..]];
            Assert.NotEqual(FrameEventKind.Value, AsciiLine.Read(bad, only).Kind);
        }
    }

    private static byte[] Noise(int seed)
    {
        byte[] noise = new byte[Bytes];
        new Random(seed).NextBytes(noise);
        return noise;
    }

    private static int Count(IFrameDecoder decoder, byte[] noise)
    {
        ValueCounter counter = new();
        decoder.Feed(noise, counter);
        return counter.Values;
    }

    private static double Share(FrameFormat format, byte[] noise)
    {
        int bytes = FrameFormats.BitsOf(format) / 8 + (FrameFormats.BitsOf(format) % 8 == 0 ? 0 : 1);
        int frames = 0;
        int values = 0;
        for (int at = 0; at + bytes <= noise.Length; at += bytes)
        {
            ulong bits = 0;
            for (int i = 0; i < bytes; i++)
            {
                bits |= (ulong)noise[at + i] << (8 * i);
            }

            int count = FrameFormats.BitsOf(format);
            frames++;
            values += FrameDecode.Decode(format, new FrameBits(bits & ((1UL << count) - 1), count), Metric).Kind == FrameEventKind.Value ? 1 : 0;
        }

        return (double)values / frames;
    }

    private sealed class ValueCounter : IFrameSink
    {
        public int Values { get; private set; }

        public void Receive(in FrameEvent frameEvent, ReadOnlySpan<byte> raw) => Values += frameEvent.Kind == FrameEventKind.Value ? 1 : 0;
    }
}
