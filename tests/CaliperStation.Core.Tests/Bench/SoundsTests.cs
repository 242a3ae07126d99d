using System.Buffers.Binary;
using CaliperStation.Core.Bench;

namespace CaliperStation.Core.Tests.Bench;

/// <summary>Every outcome has a sound of its own, by bell and by tones; pitch and length are measured in the sound file.</summary>
public sealed class SoundsTests
{
    public static TheoryData<Sound> All => [.. Enum.GetValues<Sound>()];

    [Fact]
    public void Every_outcome_has_one_sound_and_no_two_are_alike()
    {
        Assert.Equal(Enum.GetValues<Sound>().Order(), Sounds.All.Select(pattern => pattern.Sound).Order());
        Assert.Equal(Sounds.All.Count, Sounds.All.Select(pattern => string.Join(' ', pattern.Bell)).Distinct().Count());
        Assert.Equal(Sounds.All.Count, Sounds.All.Select(pattern => string.Join(' ', pattern.Tones)).Distinct().Count());
    }

    /// <summary>The layout is that of RIFF WAVE (Multimedia Programming Interface and Data Specifications 1.0, 1991, "Waveform Audio File Format"; from memory).</summary>
    [Theory]
    [MemberData(nameof(All))]
    public void A_sound_file_holds_the_tones_at_their_pitch_and_length(Sound sound)
    {
        IReadOnlyList<Tone> tones = Sounds.Of(sound).Tones;
        byte[] wave = Sounds.Wave(tones);
        Assert.Equal("RIFF"u8.ToArray(), wave[..4]);
        Assert.Equal(wave.Length - 8, BinaryPrimitives.ReadInt32LittleEndian(wave.AsSpan(4)));
        Assert.Equal("WAVE"u8.ToArray(), wave[8..12]);
        int rate = BinaryPrimitives.ReadInt32LittleEndian(wave.AsSpan(24));
        Assert.Equal(wave.Length - 44, BinaryPrimitives.ReadInt32LittleEndian(wave.AsSpan(40)));
        short[] samples = [.. Enumerable.Range(0, (wave.Length - 44) / 2).Select(at => BinaryPrimitives.ReadInt16LittleEndian(wave.AsSpan(44 + (2 * at))))];
        int from = 0;
        foreach (Tone tone in tones)
        {
            int count = rate * tone.Milliseconds / 1000;
            short[] part = samples[from..(from + count)];
            int crossings = Enumerable.Range(1, count - 1).Count(at => part[at - 1] < 0 != part[at] < 0);
            Assert.InRange(crossings * 500.0 / tone.Milliseconds, tone.Hertz * 0.96, tone.Hertz * 1.04);   // half a crossing each end
            Assert.InRange(part.Max(), 15_000, 17_000);
            from += count;
            if (tone != tones[^1] || from < samples.Length)
            {
                int pause = samples.Skip(from).TakeWhile(sample => sample == 0).Count();
                Assert.InRange(pause * 1000 / rate, 29, 32);
                from = Math.Min(samples.Length, from + (rate * 30 / 1000));
            }
        }

        Assert.Equal(samples.Length, from);
    }
}
