using CaliperStation.Core.Judging;

namespace CaliperStation.Core.Tests.Judging;

/// <summary>Conformance probability and guard factors against JCGM 106:2012, JCGM 100:2008 and ISO 14253-1; rows and addresses in TestData.</summary>
public sealed class ConformanceTests
{
    public static TheoryData<string> ConformanceRows => [.. PublishedRows.Of("conformance_rows.csv").Select(row => row["id"])];

    public static TheoryData<string> Table1 => [.. PublishedRows.Of("jcgm106_table1_pc_z.csv").Select(row => row["conformance_probability"])];

    public static TheoryData<string> GuardBands => [.. PublishedRows.Of("guard_band_multipliers.csv").Select(row => row["rule"])];

    /// <summary>JCGM 106:2012, 7.3.3 examples 1 and 2, 7.4, and the process of 9.5.3.</summary>
    [Theory]
    [MemberData(nameof(ConformanceRows))]
    public void Published_examples_of_conformance_probability_come_out(string id)
    {
        PublishedRow row = PublishedRows.Of("conformance_rows.csv").Single(row => row["id"] == id);
        double pc = Conformance.Probability(row.Number("y")!.Value, row.Number("u")!.Value, row.Number("TL"), row.Number("TU"));
        PublishedRow.Agrees(row["published_pc"], pc);
        Assert.Equal(row.Number("computed_pc")!.Value, pc, 1e-9);
    }

    /// <summary>JCGM 106:2012, 7.4: the two one-sided parts of the example.</summary>
    [Fact]
    public void A_two_sided_probability_is_the_difference_of_its_one_sided_parts()
    {
        PublishedRow row = PublishedRows.Example("C03");
        (double y, double u) = (row.Number("inputs", "y"), row.Number("inputs", "u"));
        row.Agrees("result", "P_upper", Conformance.Probability(y, u, null, row.Number("inputs", "TU")));
        row.Agrees("result", "P_lower", 1 - Conformance.Probability(y, u, row.Number("inputs", "TL"), null));
        row.Agrees("result", "pc", Conformance.Probability(y, u, row.Number("inputs", "TL"), row.Number("inputs", "TU")));
    }

    /// <summary>JCGM 106:2012, Table 1.</summary>
    [Theory]
    [MemberData(nameof(Table1))]
    public void The_guard_factor_is_that_of_the_published_table(string confidence)
    {
        PublishedRow row = PublishedRows.Of("jcgm106_table1_pc_z.csv").Single(row => row["conformance_probability"] == confidence);
        PublishedRow.Agrees(row["z"], Conformance.GuardFactor(row.Number("conformance_probability")!.Value));
    }

    /// <summary>ISO 14253-1:2017 default, as quoted (row C24): 95 % one-sided, 1.65 u or 0.825 U with U = 2u.</summary>
    [Fact]
    public void The_default_factor_is_that_of_ISO_14253_1()
    {
        Assert.Contains("guard factor 1.65*u (0.825*U with U=2u)", PublishedRows.Example("C24")["result"], StringComparison.Ordinal);
        double z = Conformance.GuardFactor(0.95);
        Assert.Equal(1.65, Math.Ceiling(z * 100) / 100, 1e-12);
        Assert.Equal(0.825, Math.Ceiling(z / 2 * 200) / 200, 1e-12);
    }

    /// <summary>Every row of guard_band_multipliers.csv: the risk of a value that lies on the acceptance limit.</summary>
    [Theory]
    [MemberData(nameof(GuardBands))]
    public void A_value_on_the_acceptance_limit_carries_the_published_risk(string rule)
    {
        PublishedRow row = PublishedRows.Of("guard_band_multipliers.csv").Single(row => row["rule"] == rule);
        double w = row.Number("w_over_u")!.Value;
        double expected = row.Number("computed_one_sided_PFA_on_acceptance_limit")!.Value;
        Assert.Equal(expected, 1 - Conformance.Probability(-w, 1, null, 0), expected * 1e-3);
        Assert.Equal(row.Number("w_over_U")!.Value, w / 2, 1e-4);
    }

    /// <summary>JCGM 106:2012, 7.7.2 and 7.7.5: with Cm = 1, that is u = T/4, pc reaches 95 % only in the middle tenth.</summary>
    [Fact]
    public void A_poor_capability_confirms_only_the_middle_of_the_tolerance()
    {
        PublishedRow row = PublishedRows.Example("C07");
        double At(double share) => Conformance.Probability(share, 0.25, 0, 1);
        row.Agrees("recomputed", "pc(0.45)", At(0.45));
        row.Agrees("recomputed", "pc(0.55)", At(0.55));
        Assert.True(At(0.449) < 0.95 && At(0.551) < 0.95);
        Assert.Equal(0.95, At(row.Number("recomputed", "ytilde_low")), 1e-6);
    }

    /// <summary>JCGM 106:2012, 8.3.2.3: with w = U = 2u at most 2.3 % false acceptance.</summary>
    [Fact]
    public void A_guard_of_the_expanded_uncertainty_leaves_the_published_risk() =>
        PublishedRows.Example("C09").Agrees("recomputed", "PFA_%", 100 * (1 - Conformance.Probability(-2, 1, null, 0)));

    /// <summary>JCGM 106:2012, A.3; the document prints 0.955 for k = 2 where 0.95450 rounds to 0.954: a known misprint.</summary>
    [Fact]
    public void The_normal_coverage_is_the_published_one_but_for_its_misprint()
    {
        PublishedRow row = PublishedRows.Example("C16");
        double Within(double k) => Conformance.Probability(0, 1, -k, k);
        row.AgreesWithList("P=", Within(1), Within(2), Within(3));
        Assert.Equal(0.954, Math.Round(Within(2), 3));
        row.Agrees("recomputed", "P1", Within(1));
        row.Agrees("recomputed", "P3", Within(3));
        row.Agrees("recomputed", "P2", Within(2));
    }

    /// <summary>JCGM 106:2012, 9.5.3: of 100 resistors of that process 90 conform.</summary>
    [Fact]
    public void The_share_of_a_process_that_conforms_is_the_published_count() =>
        PublishedRows.Example("C13").Agrees("recomputed", "conforming", 100 * Conformance.Probability(1500, 0.12, 1499.8, 1500.2));

    /// <summary>JCGM 100:2008, Table G.1, 4.3.4, 4.3.5, 4.3.6 and G.5.2: coverage factors of the normal distribution.</summary>
    [Theory]
    [InlineData("U15", "k90", 0.90)]
    [InlineData("U15", "k95", 0.95)]
    [InlineData("U15", "k95.45", 0.9545)]
    [InlineData("U15", "k99", 0.99)]
    [InlineData("U15", "k99.73", 0.9973)]
    [InlineData("U02", "k95", 0.95)]
    [InlineData("U04", "deviate", 2.0 / 3)]
    public void The_guard_factor_inverts_the_normal_distribution(string id, string name, double coverage) =>
        PublishedRows.Example(id).Agrees("recomputed", name, Conformance.GuardFactor((1 + coverage) / 2));

    /// <summary>JCGM 100:2008, 4.3.5: a half width of 0.04 mm that holds half of the values is 0.06 mm of uncertainty.</summary>
    [Fact]
    public void Half_of_the_values_lie_within_two_thirds_of_the_uncertainty()
    {
        PublishedRow row = PublishedRows.Example("U03");
        row.Agrees("result", "u", 0.04 / Conformance.GuardFactor(0.75));
        row.Agrees("recomputed", "factor", 1 / Conformance.GuardFactor(0.75));
    }

    [Fact]
    public void A_confidence_of_one_half_draws_nothing_in() => Assert.Equal(0, Conformance.GuardFactor(0.5));

    [Theory]
    [InlineData(0.4999)]
    [InlineData(1)]
    [InlineData(double.NaN)]
    public void A_confidence_that_is_none_is_misuse(double confidence) =>
        Assert.Throws<ArgumentOutOfRangeException>(() => Conformance.GuardFactor(confidence));

    [Fact]
    public void Without_uncertainty_a_value_conforms_or_does_not()
    {
        Assert.Equal(1, Conformance.Probability(5, 0, 5, 5));
        Assert.Equal(0, Conformance.Probability(5.0000001, 0, 5, 5));
        Assert.Equal(1, Conformance.Probability(5, 0, null, null));
        Assert.Throws<ArgumentOutOfRangeException>(() => Conformance.Probability(5, -1, null, null));
    }
}
