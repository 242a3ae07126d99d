using CaliperStation.Core.Judging;
using CaliperStation.Core.Quantities;
using CaliperStation.Core.Standards;

namespace CaliperStation.Core.Tests.Judging;

/// <summary>The budget of one reading against JCGM 100:2008; rows and addresses in TestData.</summary>
public sealed class BudgetTests
{
    /// <summary>JCGM 100:2008, 4.3.7 example 1, and 4.4.5.</summary>
    [Fact]
    public void A_rectangular_input_has_the_published_uncertainty()
    {
        PublishedRows.Example("U05").Agrees("result", "u", Budget.Rectangular(0.40e-6));
        PublishedRows.Example("U05").Agrees("recomputed", "u2", Math.Pow(Budget.Rectangular(0.40e-6), 2));
        PublishedRows.Example("U10").Agrees("recomputed", "rect", Budget.Rectangular(4));
    }

    /// <summary>JCGM 100:2008, 4.3.8: uneven bounds, their whole width over √12.</summary>
    [Fact]
    public void Uneven_bounds_have_the_published_uncertainty() =>
        PublishedRows.Example("U07").Agrees("recomputed", "u", Budget.DigitalStep(0.40e-6 + 0.12e-6));

    /// <summary>JCGM 100:2008, F.2.2.1: 0.29·d; computed from it in the row: 0.01 mm gives 2.88675 µm, 0.0005 in gives 3.66617 µm.</summary>
    [Fact]
    public void A_digital_step_has_the_published_uncertainty()
    {
        PublishedRow row = PublishedRows.Example("U13");
        Assert.Contains("0.01 mm: 2.88675 um; for 0.0005 in: 3.66617 um", row["recomputed"], StringComparison.Ordinal);
        Assert.Equal(0.29, Budget.DigitalStep(1), 0.005);
        row.Agrees("recomputed", "factor", Budget.DigitalStep(1));
        Assert.Equal(2886.75, Budget.DigitalStep(10_000), 0.005);
        Assert.Equal(3666.17, Budget.DigitalStep(12_700), 0.005);
        PublishedRows.Example("U37").Agrees("result", "u(resolution)", Budget.DigitalStep(1));
    }

    [Fact]
    public void More_takes_shrink_the_share_of_the_hand_only()
    {
        JudgingSettings settings = new(DecisionRule.Guarded, 0.95, Length.Tick, Length.FromMicrometres(100), Length.FromMicrometres(20));
        Budget one = Budget.Of(settings, Length.FromMicrometres(10), 1);
        Budget four = Budget.Of(settings, Length.FromMicrometres(10), 4);

        Assert.Equal((one.Caliper, one.Resolution, one.Hand), (four.Caliper, four.Resolution, four.Hand));
        double instrument = (one.Caliper * one.Caliper) + (one.Resolution * one.Resolution);
        Assert.Equal(Math.Sqrt(instrument + (100_000.0 * 100_000)), one.Combined, 1e-6);
        Assert.Equal(Math.Sqrt(instrument + (50_000.0 * 50_000)), four.Combined, 1e-6);
        Assert.True(Budget.Of(settings, Length.FromMicrometres(10), 1_000_000).Combined > Math.Sqrt(instrument));
    }

    [Fact]
    public void A_budget_of_no_takes_is_misuse()
    {
        JudgingSettings settings = new(DecisionRule.Plain, 0.95, Length.Tick, Length.Zero, Length.Zero);
        Assert.Throws<ArgumentOutOfRangeException>(() => Budget.Of(settings, Length.HalfTick, 0));
    }
}
