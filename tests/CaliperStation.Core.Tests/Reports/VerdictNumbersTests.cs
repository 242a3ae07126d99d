using System.Globalization;
using CaliperStation.Core.Judging;
using CaliperStation.Core.Quantities;
using CaliperStation.Core.Records;
using CaliperStation.Core.Reports;
using CaliperStation.Core.Standards;
using CaliperStation.Core.Tests.Judging;
using CsCheck;
using static CaliperStation.Core.Tests.Judging.Sheet;

namespace CaliperStation.Core.Tests.Reports;

/// <summary>What is shown of a verdict, read back, stands to its limits as the verdict says.</summary>
public sealed class VerdictNumbersTests
{
    private static readonly LengthDisplay[] Displays = Enum.GetValues<LengthDisplay>();

    /// <summary>5 t to 7 t, and a value a hundredth of a millimetre over it: halves of a tick would show 7 t, limits 5 t to 7 t, over by 0 t.</summary>
    [Fact]
    public void A_value_just_outside_is_shown_outside_in_decimals_of_a_tick()
    {
        Limits limits = new(Length.FromTicks(5), Length.FromTicks(7), Length.FromTicks(6));
        VerdictNumbers numbers = VerdictNumbers.Of(Judged(limits, ExactLength.From(Length.FromTicks(7) + Um(80))), LengthDisplay.Ticks);
        Assert.Equal(("7.1 t", "5 t", "7 t", "0.1 t", true), (numbers.Value, numbers.Lower, numbers.Upper, numbers.Margin, numbers.IsOver));
    }

    [Theory]
    [InlineData(LengthDisplay.Ticks, "4 t", "3½ t", "4½ t", "½ t")]
    [InlineData(LengthDisplay.Fraction, "1/8 in", "7/64 in", "9/64 in", "1/64 in")]
    [InlineData(LengthDisplay.Inch, "0.1250 in", "0.1094 in", "0.1406 in", "0.0156 in")]
    [InlineData(LengthDisplay.Millimetre, "3.18 mm", "2.78 mm", "3.57 mm", "0.40 mm")]
    public void What_differs_enough_is_shown_as_ever(LengthDisplay show, string value, string lower, string upper, string margin)
    {
        Limits limits = new(Length.FromSixtyFourths(7), Length.FromSixtyFourths(9), Length.FromSixtyFourths(8));
        VerdictNumbers numbers = VerdictNumbers.Of(Judged(limits, ExactLength.From(Length.FromSixtyFourths(8))), show);
        Assert.Equal((value, lower, upper, margin, false), (numbers.Value, numbers.Lower, numbers.Upper, numbers.Margin, numbers.IsOver));
    }

    [Fact]
    public void An_excluded_limit_is_said_to_be_one()
    {
        Limits limits = new Limits(Length.FromTicks(5), Length.FromTicks(7), null) { LowerExcluded = true };
        Judgement judgement = Judged(limits, ExactLength.From(Length.FromTicks(5)));
        Assert.Equal(Verdict.Outside, judgement.Verdict);
        Assert.Equal("5 t, more than 5 t, at most 7 t, margin 0 t", VerdictNumbers.Of(judgement, LengthDisplay.Ticks).Words);
    }

    [Fact]
    public void Lengths_read_back_stand_to_their_limits_as_the_verdict_says() =>
        Gen.Select(Gen.Long[-60_000_000, 60_000_000], Gen.Long[20_000, 9_000_000], Gen.Int[0, 3], Gen.Long[-400, 400], Gen.Int[1, 7], Gen.Bool, Gen.Bool).Sample(
            (lower, width, at, off, takes, lowerExcluded, upperExcluded) =>
            {
                (lower, width) = at % 2 == 0 ? (lower, width) : (lower / 396_875 * 396_875, Math.Max(width / 396_875, 1) * 396_875);
                Limits limits = new Limits(Nm(lower), Nm(lower + width), null) { LowerExcluded = lowerExcluded, UpperExcluded = upperExcluded };
                ExactLength near = ExactLength.From(Nm(at < 2 ? lower : lower + width)) + ExactLength.Ratio(Nm(Math.Abs(off) < 200 ? off : off * 5_000), takes);
                Judgement judgement = Judged(limits, near);
                foreach (LengthDisplay show in Displays)
                {
                    Assert.Equal(judgement.Verdict, Said(VerdictNumbers.Of(judgement, show)));
                    Assert.Equal(judgement.Verdict, takes == 1 ? Said(VerdictNumbers.Of(RecordOfSitting.Verdict(judgement), show)) : judgement.Verdict);
                }
            },
            iter: 3000, threads: 1);

    [Fact]
    public void Angles_and_shares_read_back_stand_to_their_limits_as_the_verdict_says() =>
        Gen.Select(Gen.Double[-3, 3], Gen.Double[0.001, 2], Gen.Int[-40, 40], Gen.Int[0, 12], Gen.Bool, Gen.Bool).Sample(
            (lower, width, off, fine, isAngle, excluded) =>
            {
                double value = lower + (off * Math.Pow(10, -fine));
                Dimension dimension = isAngle ? Dimension.Angle : Dimension.Ratio;
                bool within = (excluded ? value > lower : value >= lower) && value <= lower + width;
                Limits limits = Numbers(lower, lower + width) with { LowerExcluded = excluded };
                Judgement judgement = new(
                    Sheet.Relation("r", isAngle ? RelationKind.Angle : RelationKind.Share, [limits], "a", "b"), ["a", "b"], dimension, default, value, limits, lower, lower + width,
                    1, 0.5, Math.Min(value - lower, lower + width - value), within ? Verdict.Within : Verdict.Outside, null);
                Assert.Equal(judgement.Verdict, Said(VerdictNumbers.Of(judgement, LengthDisplay.Ticks)));
                Assert.Equal(judgement.Verdict, Said(VerdictNumbers.Of(RecordOfSitting.Verdict(judgement), LengthDisplay.Inch)));
            },
            iter: 3000, threads: 1);

    [Fact]
    public void A_bench_too_coarse_is_not_shown_as_fine_enough()
    {
        Relation relation = Sheet.Relation("r", RelationKind.Gap, [Between(0, 500)], "a");
        string text = VerdictText.Narrow(new UnverifiableTolerance(relation, 123_100.4, 123_100.2, Dimension.Length));
        Assert.Contains("0.124 mm", text, StringComparison.Ordinal);
        Assert.Contains("0.123 mm", text, StringComparison.Ordinal);
    }

    private static Judgement Judged(Limits limits, ExactLength value) => Assert.Single(Judge.Relation(
        new Sheet { Settings = Plain }.Build(), Sheet.Relation("r", RelationKind.Gap, [limits], "a"), _ => new Measured(value, 1000)));

    /// <summary>The verdict of the plain rule on the numbers as a reader takes them from the texts; a margin of 0 only on a limit.</summary>
    private static Verdict Said(VerdictNumbers numbers)
    {
        decimal value = Read(numbers.Value);
        bool above = numbers.Lower is not { } lower || (numbers.LowerExcluded ? value > Read(lower) : value >= Read(lower));
        bool below = numbers.Upper is not { } upper || (numbers.UpperExcluded ? value < Read(upper) : value <= Read(upper));
        bool isOnLimit = (numbers.Lower is { } low && value == Read(low)) || (numbers.Upper is { } high && value == Read(high));
        Assert.Equal(isOnLimit, Read(numbers.Margin!) == 0);
        Assert.True(!numbers.IsOver || !(above && below));
        return above && below ? Verdict.Within : Verdict.Outside;
    }

    /// <summary>Any text of the station as a number of its unit; all texts of one verdict have one unit.</summary>
    private static decimal Read(string text)
    {
        string number = text.Replace(" t", "", StringComparison.Ordinal).Replace(" in", "", StringComparison.Ordinal).Replace(" mm", "", StringComparison.Ordinal).Replace("°", "", StringComparison.Ordinal);
        bool negative = number.StartsWith('-');
        decimal sum = 0;
        foreach (string part in number.TrimStart('-').Replace("½", " 1/2", StringComparison.Ordinal).Split(' ', StringSplitOptions.RemoveEmptyEntries))
        {
            string[] fraction = part.Split('/');
            sum += decimal.Parse(fraction[0], CultureInfo.InvariantCulture) / (fraction.Length > 1 ? decimal.Parse(fraction[1], CultureInfo.InvariantCulture) : 1);
        }

        return negative ? -sum : sum;
    }
}
