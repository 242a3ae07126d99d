using CaliperStation.Core.Quantities;

namespace CaliperStation.Devices;

/// <summary>A pretend hand on a pretend caliper: the jaws drift to a gap, tremble, and rest with one count of flicker.</summary>
/// <remarks>
/// A pure function of seed, motion and time, so that a reading does not depend on how often it was looked at. The figures
/// are made up to look like a hand; they claim nothing about hands.
/// </remarks>
/// <param name="Seed">Any number.</param>
/// <param name="Resolution">One count of the display; positive.</param>
internal sealed record HandEmulation(ulong Seed, Length Resolution)
{
    private const double TrembleNanometres = 300_000;
    private const double OpenedNanometres = 2_000_000;
    private const double FlickerChance = 0.1;

    // A display is renewed about so often; between two renewals it shows the same.
    private static readonly TimeSpan Sample = TimeSpan.FromMilliseconds(50);

    /// <summary>How long a motion drifts before it rests: 0.4 s to 0.8 s.</summary>
    internal TimeSpan DriftOf(long motion) => TimeSpan.FromMilliseconds(400 + (400 * NoiseOf(motion).Unit(-1)));

    /// <summary>What the display shows after a motion has gone on for so long.</summary>
    /// <param name="from">The opening at its start.</param>
    /// <param name="to">The gap it goes to.</param>
    /// <param name="motion">Its number: each motion has noise of its own.</param>
    /// <param name="since">Time since its start; not negative.</param>
    internal Length At(Length from, Length to, long motion, TimeSpan since)
    {
        SeededNoise noise = NoiseOf(motion);
        long sample = since.Ticks / Sample.Ticks;
        double part = since / DriftOf(motion);
        if (part >= 1)
        {
            double chance = noise.Unit(sample);
            long flicker = chance < FlickerChance / 2 ? -1 : chance > 1 - (FlickerChance / 2) ? 1 : 0;
            return Steady(to) + Resolution.Times(flicker);
        }

        // Smooth start and stop: speed and acceleration are 0 at both ends (a fifth-order polynomial).
        double way = part * part * part * (10 + (part * ((6 * part) - 15)));
        double tremble = (1 - part) * TrembleNanometres * noise.Signed(sample);
        double open = OpenedNanometres * 16 * part * part * (1 - part) * (1 - part);   // a hand opens the jaws on its way, also between two equal gaps
        double drifting = from.Nanometres + ((to - from).Nanometres * way) + open + tremble;
        return Length.FromNanometres(drifting, Rounding.HalfEven).RoundedTo(Resolution, Rounding.HalfEven);
    }

    /// <summary>What the display shows at rest, without flicker.</summary>
    internal Length Steady(Length gap) => gap.RoundedTo(Resolution, Rounding.HalfEven);

    private SeededNoise NoiseOf(long motion) => new SeededNoise(Seed).For(motion);
}
