using CaliperStation.Core.Quantities;

namespace CaliperStation.Core.Readings;

/// <summary>What is known when a reading comes.</summary>
public sealed record Expectation
{
    /// <summary>The smallest value that would be within, or near it; null with <see cref="Upper"/> when nothing is expected.</summary>
    public Length? Lower { get; init; }

    /// <summary>The largest value that would be within, or near it.</summary>
    public Length? Upper { get; init; }

    /// <summary>What is possible on this coat; null when nothing is known of it.</summary>
    public CoatSpan? Coat { get; init; }

    /// <summary>False when an overlap cannot be: a size, or something that lies apart by nature.</summary>
    public bool MayBeNegative { get; init; } = true;

    /// <summary>The unit of the sitting's first reading from the instrument; null before it.</summary>
    public LengthUnit? SittingUnit { get; init; }

    /// <summary>The resolution of the instrument's last reading in the sitting's unit; null before it.</summary>
    public Length? SittingResolution { get; init; }

    /// <summary>The unit that <see cref="SittingResolution"/> was in; null for <see cref="SittingUnit"/>.</summary>
    public LengthUnit? SittingResolutionUnit { get; init; }

    /// <summary>The last reading taken from the instrument, when it was for another step; else null.</summary>
    public Length? Before { get; init; }

    /// <summary>True when the caliper was seen to move since then.</summary>
    public bool MovedSince { get; init; }

    /// <summary>How far the instrument opens; null when not known.</summary>
    public Length? Range { get; init; }
}

/// <summary>Says what is odd about a reading from an instrument. Pure; it changes nothing and converts nothing.</summary>
public static class PlausibilityCheck
{
    private static readonly PlausibilityWarning UnitChanged = new(WarningKind.UnitChanged,
        "The caliper now shows another unit than when this sitting began. Press its unit key until the first unit is back and measure again, or say that the change is meant.");

    private static readonly PlausibilityWarning Same = new(WarningKind.SameAsBefore,
        "This is exactly the value of the step before, and the caliper was not seen to move. Measure again, or say that the gap is the same.");

    private static readonly PlausibilityWarning Inch = new(WarningKind.InchForMillimetre,
        "This is 25.4 times off what belongs here: inches and millimetres may be mixed up. Look at the caliper's unit and measure again, or say that the value is right.");

    private static readonly PlausibilityWarning Ten = new(WarningKind.TenTimes,
        "This is ten times off what belongs here: a digit may have been lost. Read the caliper's display and measure again, or say that the value is right.");

    private static readonly PlausibilityWarning Dropped = new(WarningKind.DroppedDigit,
        "With one more digit before it this would be what belongs here: the first digit may have been lost. Read it again, or say that the value is right.");

    private static readonly PlausibilityWarning Astray = new(WarningKind.BeyondCoat,
        "This is beyond anything that can be here on this coat. Look at what the jaws touch and measure again, or say that the value is right.");

    private static readonly PlausibilityWarning Negative = new(WarningKind.Sign,
        "A negative value makes no sense here: the caliper may have been zeroed while open. Close it, zero it and measure again, or say that the value is right.");

    private static readonly PlausibilityWarning Decimals = new(WarningKind.Decimals,
        "This value has another number of decimals than the ones before: a digit may have been lost on the way. Compare it with the display and measure again, or say that it is right.");

    private static readonly PlausibilityWarning Beyond = new(WarningKind.BeyondRange,
        "This is more than the caliper can open. Zero it closed and measure again, or say that the value is right.");

    /// <summary>The first warning there is, or null. The unit comes first: it stops whatever the value is.</summary>
    public static PlausibilityWarning? Of(Reading reading, Expectation expected)
    {
        if (expected.SittingUnit is LengthUnit first && first != reading.Unit)
        {
            return UnitChanged;
        }

        if (expected.Range is Length range && reading.Value.Abs() > range)
        {
            return Beyond;
        }

        if (reading.Value < Length.Zero && !expected.MayBeNegative)
        {
            return Negative;
        }

        bool isOffRule = reading.Source == ReadingSource.Typed && reading.Unit == LengthUnit.Inch && reading.Resolution == Length.HalfTick;   // no unit and no last digit is lost on a rule
        return (isOffRule ? null : Scaled(reading.Value, expected))
            ?? (HasLostFirstDigit(reading, expected, isOffRule) ? Dropped : null)
            ?? (expected.Coat is { } coat && !coat.Allows(reading.Value) ? Astray : null)
            ?? (expected.SittingResolution is Length resolution && resolution != reading.Resolution && (expected.SittingResolutionUnit ?? reading.Unit) == reading.Unit ? Decimals : null)
            ?? (expected.Before == reading.Value && !expected.MovedSince ? Same : null);
    }

    /// <summary>
    /// A value is questioned for its scale only when it lies outside the limits widened by half their width on each side, and one that is scaled back
    /// would lie inside them. So an honest fault near the limits is never asked about.
    /// </summary>
    private static PlausibilityWarning? Scaled(Length value, Expectation expected)
    {
        if (expected.Lower is not Length lower || expected.Upper is not Length upper || upper < lower)
        {
            return null;
        }

        Length slack = (upper - lower).DividedBy(2, Rounding.Up);
        Int128 low = (lower - slack).Nanometres;
        Int128 high = (upper + slack).Nanometres;
        Int128 nanometres = value.Nanometres;
        bool Inside(Int128 over, Int128 under) => nanometres * over >= low * under && nanometres * over <= high * under;
        if (Inside(1, 1))
        {
            return null;
        }

        bool hasScale = low > 0 || high < 0;   // around zero everything divided by enough is inside
        if (Inside(254, 10) || (hasScale && Inside(10, 254)))
        {
            return Inch;
        }

        return Inside(10, 1) || (hasScale && Inside(1, 10)) ? Ten : null;
    }

    /// <summary>True when the value is far from its limits, and one more digit before it, of its decimals or of its ticks, would bring it inside them.</summary>
    private static bool HasLostFirstDigit(Reading reading, Expectation expected, bool isInTicks)
    {
        if (expected.Lower is not Length lower || expected.Upper is not Length upper || upper < lower)
        {
            return false;
        }

        Length slack = (upper - lower).DividedBy(2, Rounding.Up);
        if (new CoatSpan(lower - slack, upper + slack).Allows(reading.Value))
        {
            return false;
        }

        CoatSpan limits = new(lower, upper);
        Int128 most = Int128.Max(Int128.Abs(lower.Nanometres), Int128.Abs(upper.Nanometres));
        int sign = reading.Value < Length.Zero ? -1 : 1;
        for (Int128 place = isInTicks ? Length.Tick.Nanometres : reading.Resolution.Nanometres; place <= most; place *= 10)
        {
            if (place <= Int128.Abs(reading.Value.Nanometres))
            {
                continue;   // the digit stands before all others
            }

            for (int digit = 1; digit <= 9; digit++)
            {
                Int128 whole = reading.Value.Nanometres + (sign * digit * place);
                if (Int128.Abs(whole) <= most && limits.Allows(Length.FromNanometres((long)whole)))
                {
                    return true;
                }
            }
        }

        return false;
    }
}
