using CaliperStation.Core.Quantities;

namespace CaliperStation.Core.Studies;

/// <summary>How far readings lie apart: exact sums of whole nanometres, with no rounding before the root.</summary>
/// <remarks>
/// Sums are taken from the first reading on, so that they stay small. Range: readings within <see cref="Widest"/> of one another and at most
/// <see cref="Most"/> of them; then count × sum of squares is below 10³¹ and fits many times over. <c>default</c> is no reading.
/// </remarks>
internal readonly struct Scatter
{
    /// <summary>No two readings of a study lie further apart.</summary>
    internal static readonly Length Widest = Length.FromNanometres(10_000_000_000);

    /// <summary>No study has more readings.</summary>
    internal const int Most = 100_000;

    private readonly Int128 _sum;
    private readonly Int128 _squares;

    private Scatter(int count, Length origin, Int128 sum, Int128 squares) => (Count, Origin, _sum, _squares) = (count, origin, sum, squares);

    /// <summary>How many.</summary>
    internal int Count { get; }

    /// <summary>What the sums are counted from.</summary>
    internal Length Origin { get; }

    /// <summary>The sum of what the readings are above the origin, in nanometres.</summary>
    internal Int128 Sum => _sum;

    /// <summary>Count times the sum of squared deviations from the mean, exact, in nm².</summary>
    internal Int128 ScaledSquares => (Count * _squares) - (_sum * _sum);

    /// <summary>The mean in nanometres; 0 for no reading.</summary>
    internal double Mean => Count == 0 ? 0 : (double)((Origin.Nanometres * (Int128)Count) + _sum) / Count;

    /// <summary>Sum of squared deviations from the mean, in nm².</summary>
    internal double SumOfSquares => Count == 0 ? 0 : (double)ScaledSquares / Count;

    /// <summary>Standard deviation with n − 1 in nanometres; null for fewer than two readings.</summary>
    internal double? StandardDeviation => Count < 2 ? null : Math.Sqrt((double)ScaledSquares / ((double)Count * (Count - 1)));

    /// <summary>True when two readings lie within so many nanometres of one another, however far out both are.</summary>
    internal static bool AreNear(Length one, Length other, Int128 nanometres) => Int128.Abs((Int128)one.Nanometres - other.Nanometres) <= nanometres;

    /// <summary>The readings from their own first one.</summary>
    internal static Scatter Of(IReadOnlyCollection<Length> readings) => Of(readings, readings.FirstOrDefault());

    /// <summary>The readings from a given origin.</summary>
    /// <exception cref="ArgumentException">Too many, or too far from the origin.</exception>
    internal static Scatter Of(IReadOnlyCollection<Length> readings, Length origin)
    {
        if (readings.Count > Most || readings.Any(reading => !AreNear(reading, origin, Widest.Nanometres)))
        {
            throw new ArgumentException(FormattableString.Invariant($"At most {Most} readings, all within 10 m of one another."), nameof(readings));
        }

        (Int128 sum, Int128 squares) = (0, 0);
        foreach (Length reading in readings)
        {
            Int128 from = (Int128)reading.Nanometres - origin.Nanometres;
            sum += from;
            squares += from * from;
        }

        return new Scatter(readings.Count, origin, sum, squares);
    }
}
