using System.Globalization;
using CaliperStation.Core.Quantities;
using CaliperStation.Core.Studies;
using CaliperStation.Core.Tests.Judging;

namespace CaliperStation.Core.Tests.Studies;

/// <summary>Factors of the published study forms (grr_constants.csv says for each where it was seen: K1 and K2 on third-party pages, K3 of 2 to 9 points from memory).</summary>
public sealed class AverageAndRangeTests
{
    [Fact]
    public void The_factors_of_the_forms_are_those_of_the_range_of_normal_readings()
    {
        int seen = 0;
        foreach (PublishedRow row in PublishedStudy.Rows("grr_constants.csv"))
        {
            int count = row["size"].Split('=', ' ').Select(text => int.TryParse(text, CultureInfo.InvariantCulture, out int number) ? number : 0).FirstOrDefault(number => number > 0);
            double? factor = row["constant"] switch
            {
                "K1" => AverageAndRange.MeanRangeFactor(count),
                "K2" or "K3" => AverageAndRange.OneRangeFactor(count),
                "d2*" => 1 / AverageAndRange.OneRangeFactor(count),
                _ => null,   // the older form is checked below; D4 and the factor of the categories are no ranges
            };
            if (factor is { } value)
            {
                Assert.Equal(row.Number("value")!.Value, value, row["constant"].StartsWith('d') ? 0.000011 : 0.000051);
                seen++;
            }
        }

        Assert.Equal(16, seen);
    }

    /// <summary>
    /// Closed forms: the mean range of two and three is 2/√π and 3/√π, its mean square 2 and 2 + 3√3/π. So d₂* of three is 1.911540, and the 1.91155 that is
    /// quoted is one off in its last digit.
    /// </summary>
    [Fact]
    public void Two_and_three_readings_have_closed_forms()
    {
        Assert.Equal(Math.Sqrt(Math.PI) / 2, AverageAndRange.MeanRangeFactor(2), 1e-6);
        Assert.Equal(Math.Sqrt(Math.PI) / 3, AverageAndRange.MeanRangeFactor(3), 1e-6);
        Assert.Equal(1 / Math.Sqrt(2), AverageAndRange.OneRangeFactor(2), 1e-6);
        Assert.Equal(1 / Math.Sqrt(2 + (3 * Math.Sqrt(3) / Math.PI)), AverageAndRange.OneRangeFactor(3), 1e-6);
    }

    /// <summary>The older form takes 5.15 over a d₂ of two decimals (row G15): 5.15/1.69 prints as 3.05, where the whole 5.15/d₂ is 3.0427.</summary>
    [Fact]
    public void The_older_form_divides_by_a_factor_of_two_decimals()
    {
        PublishedRow[] older = [.. PublishedStudy.Rows("grr_constants.csv").Where(row => row["constant"].EndsWith("_5.15", StringComparison.Ordinal))];

        Assert.Equal(5, older.Length);
        foreach (PublishedRow row in older)
        {
            int count = int.Parse(row["size"].Split(' ')[0], CultureInfo.InvariantCulture);
            double factor = row["constant"].StartsWith("K1", StringComparison.Ordinal) ? AverageAndRange.MeanRangeFactor(count) : AverageAndRange.OneRangeFactor(count);
            PublishedRow.Agrees(row["value"], 5.15 / Math.Round(1 / factor, 2));
        }

        PublishedRow published = PublishedRows.Example("G15");
        published.Agrees("recomputed", "K1_2", 5.15 * AverageAndRange.MeanRangeFactor(2));
        Assert.Equal(published.Number("recomputed", "K1_3"), 5.15 * AverageAndRange.MeanRangeFactor(3), 0.0000005);
    }

    /// <summary>Recomputed with the factors rounded to four digits (grr_recomputed.csv): half a unit of the fourth digit is 1.6 parts in ten thousand.</summary>
    [Fact]
    public void The_published_study_by_averages_and_ranges()
    {
        StudyReading[] readings = PublishedStudy.Readings("aiag_grr_10x3x3.csv", "appraiser", 2);
        AverageAndRange study = AverageAndRange.Of(["A", "B", "C"], [.. Enumerable.Range(1, 10).Select(part => part.ToString(CultureInfo.InvariantCulture))], 3, readings)!;
        Dictionary<string, double> published = PublishedStudy.Rows("grr_recomputed.csv").Where(row => row["dataset"].StartsWith("aiag_grr_10x3x3 (", StringComparison.Ordinal))
            .ToDictionary(row => row["quantity"], row => row.Number("recomputed_value")!.Value);

        Assert.Equal(published["RR"], study.MeanRange / 100, 1e-9);
        Assert.Equal(published["Xd"], study.RangeOfHands / 100, 1e-9);
        Assert.Equal(published["Rp"], study.RangeOfPoints / 100, 1e-9);
        Assert.Equal(published["EV"], study.Repeatability / 100, 1.6e-4 * published["EV"]);
        Assert.Equal(published["AV"], study.Reproducibility!.Value / 100, 1.6e-4 * published["AV"]);
        Assert.Equal(published["GRR"], study.OneReading / 100, 1.6e-4 * published["GRR"]);
        Assert.Equal(published["PV"], study.PointVariation!.Value / 100, 1.6e-4 * published["PV"]);
        Assert.Equal(published["TV"], study.Total / 100, 1.6e-4 * published["TV"]);
    }

    /// <summary>
    /// Published factors of control charts (control_chart_factors.csv, address in its row S01 of the worked examples: a third-party copy of the table of ASTM's manual on control charts).
    /// Of three it prints 2.574, and the range of normal readings gives 2.57459, which rounds to 2.575.
    /// </summary>
    [Fact]
    public void The_limit_of_ranges_is_that_of_published_factors()
    {
        PublishedRow[] factors = [.. PublishedRows.Of("control_chart_factors.csv", "Studies")];

        Assert.Equal(14, factors.Length);
        Assert.All(factors, row => Assert.Equal(row.Number("D4")!.Value, AverageAndRange.RangeLimitFactor(int.Parse(row["n"], CultureInfo.InvariantCulture)), row["n"] == "3" ? 0.0006 : 0.00055));
    }

    /// <summary>The published study by its form's limit, D₄ of 2.58 for three trials (grr_constants.csv) times the published mean range: one range of its thirty is beyond it.</summary>
    [Fact]
    public void Repeats_that_lie_too_far_apart_are_found_in_the_published_study()
    {
        PublishedRow[] rows = [.. PublishedStudy.Rows("aiag_grr_10x3x3.csv")];
        double formLimit = PublishedStudy.Rows("grr_constants.csv").Single(row => row["constant"] == "D4" && row["size"] == "3 trials").Number("value")!.Value
            * PublishedStudy.Rows("grr_recomputed.csv").First(row => row["dataset"].StartsWith("aiag_grr_10x3x3 (", StringComparison.Ordinal) && row["quantity"] == "RR").Number("recomputed_value")!.Value;
        (string Hand, string Point)[] byTheForm = [.. rows.GroupBy(row => (row["appraiser"], row["part"])).Where(cell => cell.Max(row => row.Number("value")) - cell.Min(row => row.Number("value")) > formLimit).Select(cell => cell.Key)];

        AverageAndRange study = AverageAndRange.Of(["A", "B", "C"], [.. Enumerable.Range(1, 10).Select(part => part.ToString(CultureInfo.InvariantCulture))], 3, PublishedStudy.Readings("aiag_grr_10x3x3.csv", "appraiser", 2))!;

        Assert.Single(byTheForm);
        Assert.Equal(byTheForm, study.Wide.Select(wide => (wide.Hand, wide.Point)));
        Assert.Equal(formLimit, study.RangeLimit / 100, 0.003);   // 2.58 is 2.575 in two decimals
    }

    [Fact]
    public void Equal_repeats_are_not_too_far_apart()
    {
        StudyReading[] readings = [.. Enumerable.Range(0, 6).Select(n => new StudyReading("A", n < 3 ? "1" : "2", Length.Tick))];

        Assert.Empty(AverageAndRange.Of(["A"], ["1", "2"], 3, readings)!.Wide);
    }
}
