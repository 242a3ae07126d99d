using System.Buffers.Binary;

namespace CaliperStation.Core.Bench;

/// <summary>One tone.</summary>
/// <param name="Hertz">Its pitch; positive.</param>
/// <param name="Milliseconds">Its length; positive.</param>
public readonly record struct Tone(int Hertz, int Milliseconds);

/// <summary>How an outcome sounds: strokes of a terminal's bell, and tones.</summary>
/// <param name="Sound">The outcome.</param>
/// <param name="Means">What it says, in words.</param>
/// <param name="Bell">Strokes, group by group: 2, 1 is two close strokes, a pause, one stroke.</param>
/// <param name="Tones">Tones, one after the other.</param>
public sealed record SoundPattern(Sound Sound, string Means, IReadOnlyList<int> Bell, IReadOnlyList<Tone> Tones);

/// <summary>Every sound of the bench. What goes on is short and rises, what is wrong is long and falls.</summary>
public static class Sounds
{
    /// <summary>Samples a second of a tone.</summary>
    public const int Rate = 22_050;

    private const int GapMilliseconds = 30;
    private const int EdgeMilliseconds = 4;   // a tone that begins and ends at once clicks
    private const double Loudness = 0.5;

    /// <summary>All of them, in the order of the table.</summary>
    public static IReadOnlyList<SoundPattern> All { get; } =
    [
        new(Sound.Taken, "taken, confirmed, or a pin moved: go on", [1], [new(880, 80)]),
        new(Sound.Within, "within", [2], [new(660, 90), new(990, 150)]),
        new(Sound.Borderline, "borderline: take it once more", [2, 1], [new(740, 130), new(740, 130)]),
        new(Sound.Outside, "outside: it is to be set right", [3], [new(440, 180), new(330, 340)]),
        new(Sound.Warning, "asked: is that meant?", [1, 2], [new(520, 110), new(780, 110), new(520, 110)]),
        new(Sound.Refused, "refused: nothing was taken", [1, 1], [new(220, 260)]),
        new(Sound.HoldStill, "hold still", [1, 1, 1], [new(600, 60), new(600, 60), new(600, 60)]),
        new(Sound.TakenBack, "taken back", [2, 2], [new(990, 90), new(660, 150)]),
        new(Sound.Lost, "the caliper's line is lost", [5], [new(300, 160), new(300, 160), new(300, 160), new(300, 160)]),
        new(Sound.Back, "the line is back", [3, 1], [new(300, 100), new(450, 100), new(600, 160)]),
        new(Sound.Done, "filed: the blouse is done", [4], [new(660, 110), new(880, 110), new(1100, 280)]),
    ];

    /// <summary>How an outcome sounds.</summary>
    public static SoundPattern Of(Sound sound) => All.First(pattern => pattern.Sound == sound);

    /// <summary>The tones as a sound file: RIFF WAVE, one channel, 16 bits, little-endian.</summary>
    /// <param name="tones">One or more.</param>
    public static byte[] Wave(IReadOnlyList<Tone> tones)
    {
        List<short> samples = [];
        foreach (Tone tone in tones)
        {
            if (samples.Count > 0)
            {
                samples.AddRange(new short[Rate * GapMilliseconds / 1000]);
            }

            int count = Rate * tone.Milliseconds / 1000;
            int edge = Rate * EdgeMilliseconds / 1000;
            for (int at = 0; at < count; at++)
            {
                double swell = Math.Min(1, (double)Math.Min(at, count - 1 - at) / edge);
                samples.Add((short)(Loudness * short.MaxValue * swell * Math.Sin(Math.Tau * tone.Hertz * at / Rate)));
            }
        }

        const int headerBytes = 44;
        byte[] wave = new byte[headerBytes + (2 * samples.Count)];
        Span<byte> header = wave;
        "RIFF"u8.CopyTo(header);
        BinaryPrimitives.WriteInt32LittleEndian(header[4..], wave.Length - 8);
        "WAVEfmt "u8.CopyTo(header[8..]);
        BinaryPrimitives.WriteInt32LittleEndian(header[16..], 16);
        BinaryPrimitives.WriteInt16LittleEndian(header[20..], 1);          // pulse code
        BinaryPrimitives.WriteInt16LittleEndian(header[22..], 1);          // one channel
        BinaryPrimitives.WriteInt32LittleEndian(header[24..], Rate);
        BinaryPrimitives.WriteInt32LittleEndian(header[28..], 2 * Rate);   // bytes a second
        BinaryPrimitives.WriteInt16LittleEndian(header[32..], 2);          // bytes a sample
        BinaryPrimitives.WriteInt16LittleEndian(header[34..], 16);         // bits a sample
        "data"u8.CopyTo(header[36..]);
        BinaryPrimitives.WriteInt32LittleEndian(header[40..], 2 * samples.Count);
        for (int at = 0; at < samples.Count; at++)
        {
            BinaryPrimitives.WriteInt16LittleEndian(header[(headerBytes + (2 * at))..], samples[at]);
        }

        return wave;
    }
}
