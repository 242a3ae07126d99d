using CaliperStation.Core.Judging;
using CaliperStation.Core.Quantities;
using CaliperStation.Core.Standards;
using CsCheck;
using static CaliperStation.Core.Tests.Judging.Sheet;

namespace CaliperStation.Core.Tests.Judging;

public sealed class RelationValueTests
{
    private static readonly IReadOnlyList<Limits> Any = [Between(null, null)];

    /// <summary>One relation of every kind, and of every way to be written, over steps a, b, c and s.</summary>
    private static readonly IReadOnlyList<Relation> Kinds = [
        Sheet.Relation("gap", RelationKind.Gap, Any, "a"),
        Sheet.Relation("flush", RelationKind.Flush, Any, "a"),
        Sheet.Relation("size", RelationKind.Size, Any, "a"),
        Sheet.Relation("pitch, stated sizes", RelationKind.Pitch, Any, "a") with { Add = [Um(3000), Um(5001)] },
        Sheet.Relation("pitch, measured sizes", RelationKind.Pitch, Any, "a") with { AddSteps = ["b", "c"] },
        Sheet.Relation("pitch, one measured size twice", RelationKind.Pitch, Any, "a") with { AddSteps = ["b", "b"] },
        Sheet.Relation("equal", RelationKind.Equal, Any, "a", "b"),
        Sheet.Relation("equal of four", RelationKind.Equal, Any, "a", "b", "c", "s"),
        Sheet.Relation("level", RelationKind.Level, Any, "a", "b"),
        Sheet.Relation("level with a span", RelationKind.Level, Any, "a", "b") with { Span = Um(60_000) },
        Sheet.Relation("angle", RelationKind.Angle, Any, "a", "b") with { Span = Um(60_000) },
        Sheet.Relation("angle of one reading", RelationKind.Angle, Any, "a") with { Span = Um(60_000) },
        Sheet.Relation("angle over a measured span", RelationKind.Angle, Any, "a", "b") with { SpanStep = "s" },
        Sheet.Relation("not more than", RelationKind.NotMoreThan, Any, "a", "b"),
        Sheet.Relation("share", RelationKind.Share, Any, "a", "b"),
        Sheet.Relation("sum", RelationKind.Sum, Any, "a", "b", "c"),
        Sheet.Relation("sum, one reading twice", RelationKind.Sum, Any, "a", "b", "a"),
    ];

    public static TheoryData<string> KindNames => [.. Kinds.Select(relation => relation.Id)];

    [Theory]
    [InlineData("gap", -250)]
    [InlineData("flush", -250)]
    [InlineData("size", -250)]
    [InlineData("pitch, stated sizes", -250 + 4000.5)]
    [InlineData("pitch, measured sizes", -250 + 3500)]
    [InlineData("pitch, one measured size twice", -250 + 4000)]
    [InlineData("equal", 4250)]
    [InlineData("equal of four", 50_250)]
    [InlineData("level", -4250)]
    [InlineData("level with a span", -4250)]
    [InlineData("not more than", -4250)]
    [InlineData("sum", 6750)]
    [InlineData("sum, one reading twice", 3500)]
    public void A_length_is_exact(string kind, double micrometres)
    {
        RelationValue value = Value(Kind(kind), -250, 4000, 3000, 50_000);
        Assert.Equal(Dimension.Length, value.Dimension);
        Assert.Equal(ExactLength.Ratio(Nm((long)(micrometres * 2000)), 2), value.Exact);
        Assert.Equal(micrometres * 1000, value.Number);
    }

    [Fact]
    public void Half_of_an_odd_size_stays_exact()
    {
        Relation relation = Kind("gap") with { Kind = RelationKind.Pitch, Add = [Nm(3)] };
        Assert.Equal(ExactLength.Ratio(Nm(5), 2), Propagation.Value(relation, "a", null, _ => new Measured(ExactLength.From(Nm(1)), 0)).Exact);
    }

    [Fact]
    public void An_angle_is_in_milliradians_and_forty_five_degrees_is_a_quarter_of_pi()
    {
        RelationValue value = Value(Kind("angle of one reading"), 60_000, 0, 0, 0);
        Assert.Equal(Dimension.Angle, value.Dimension);
        Assert.Equal(Math.PI / 4 * 1000, value.Number, 1e-9);
        Assert.Equal(Math.Atan(4 / 50.0) * 1000, Value(Kind("angle over a measured span"), 5000, 1000, 0, 50_000).Number, 1e-9);
        Assert.Equal(-Math.Atan(4 / 60.0) * 1000, Value(Kind("angle"), 1000, 5000, 0, 0).Number, 1e-9);
    }

    [Fact]
    public void A_share_is_plain()
    {
        RelationValue value = Value(Kind("share"), 10_000, 30_000, 0, 0);
        Assert.Equal(Dimension.Ratio, value.Dimension);
        Assert.Equal(1.0 / 3, value.Number);
    }

    [Fact]
    public void An_angle_without_a_span_is_misuse() =>
        Assert.Throws<ArgumentException>(() => Value(Kind("angle") with { Span = null }, 1, 2, 3, 4));

    [Theory]
    [MemberData(nameof(KindNames))]
    public void A_gradient_names_each_step_once_and_no_other(string kind)
    {
        Relation relation = Kind(kind);
        List<string> steps = [.. Value(relation, 1000, 2000, 3000, 50_000).Gradient.Select(pair => pair.Step)];
        Assert.Equal(steps.Distinct(), steps);
        Assert.Subset(relation.Needs.ToHashSet(), steps.ToHashSet());
    }

    [Theory]
    [MemberData(nameof(KindNames))]
    public void A_gradient_is_what_small_changes_of_the_readings_do(string kind)
    {
        Relation relation = Kind(kind);
        Gen<long> length = Gen.Long[1_000, 40_000];
        Gen.Select(length, length, length, length).Where((a, b, c, s) => new[] { a, b, c, s }.Distinct().Count() == 4).Sample((a, b, c, s) =>
        {
            const long h = 1;   // 1 µm
            Dictionary<string, double> gradient = Value(relation, a, b, c, s).Gradient.ToDictionary(pair => pair.Step, pair => pair.PerNanometre);
            double Slope(long da, long db, long dc, long ds) =>
                (Value(relation, a + da, b + db, c + dc, s + ds).Number - Value(relation, a - da, b - db, c - dc, s - ds).Number) / (2000.0 * h);
            double[] slopes = relation.Kind == RelationKind.Equal && Spread(relation, a, b, c, s) < 4
                ? [.. "abcs".Select(step => gradient.GetValueOrDefault(step.ToString()))]   // a change of 1 µm could change places there
                : [Slope(h, 0, 0, 0), Slope(0, h, 0, 0), Slope(0, 0, h, 0), Slope(0, 0, 0, h)];
            for (int i = 0; i < 4; i++)
            {
                double expected = gradient.GetValueOrDefault("abcs"[i].ToString());
                Assert.Equal(expected, slopes[i], (Math.Abs(expected) * 1e-5) + 1e-11);
            }
        }, iter: 100);
    }

    [Theory]
    [MemberData(nameof(KindNames))]
    public void The_uncertainty_is_that_of_the_gradient(string kind)
    {
        RelationValue value = Value(Kind(kind), 1000, 2000, 3000, 50_000, 7);
        Assert.Equal(7000 * Math.Sqrt(value.Gradient.Sum(pair => pair.PerNanometre * pair.PerNanometre)), value.Uncertainty(Readings(1, 1, 1, 1, 7)), 1e-9);
    }

    [Fact]
    public void One_size_read_once_and_used_twice_counts_whole_not_by_its_root() =>
        Assert.Equal(10_000 * Math.Sqrt(2), Value(Kind("pitch, one measured size twice"), 1, 2, 3, 4).Uncertainty(Readings(1, 1, 1, 1, 10)), 1e-6);

    [Fact]
    public void Readings_that_are_all_equal_spread_by_nothing_but_not_with_certainty()
    {
        RelationValue value = Value(Kind("equal of four"), 5, 5, 5, 5);
        Assert.Equal(default, value.Exact);
        Assert.Equal(10_000 * Math.Sqrt(2), value.Uncertainty(Readings(5, 5, 5, 5, 10)), 1e-6);
    }

    /// <summary>A worked article on tolerance stacks (rows T03 and T04 in TestData): nominal, worst case and root of squares.</summary>
    [Fact]
    public void Tolerance_stacks_come_out_as_published()
    {
        PublishedRow row = PublishedRows.Example("T03");
        Assert.StartsWith("2.000+-0.005; 1.500+-0.003; 0.500+-0.002; housing 4.020+-0.005", row["inputs"], StringComparison.Ordinal);
        (double gap, double worst, double rss) = Stack(("housing", 4.020, 0.005), ("a", -2.000, 0.005), ("b", -1.500, 0.003), ("c", -0.500, 0.002));
        row.Agrees("recomputed", "gap", gap);
        row.Agrees("recomputed", "wc", worst);
        row.Agrees("recomputed", "rss_total", rss);
        row.Agrees("recomputed", "rss_stack", Stack(("a", 2.000, 0.005), ("b", 1.500, 0.003), ("c", 0.500, 0.002)).Rss);

        row = PublishedRows.Example("T04");
        Assert.StartsWith("40.00+-0.10; -25.00+-0.05; -2.00+-0.03; -10.00+-0.05", row["inputs"], StringComparison.Ordinal);
        (gap, worst, rss) = Stack(("a", 40.00, 0.10), ("b", -25.00, 0.05), ("c", -2.00, 0.03), ("d", -10.00, 0.05));
        row.Agrees("recomputed", "gap", gap);
        Assert.Contains("worst case +-0.23 (2.77 to 3.23); RSS +-0.126095", row["recomputed"], StringComparison.Ordinal);
        Assert.Equal((0.23, 0.126095), (Math.Round(worst, 9), Math.Round(rss, 6)));
    }

    /// <summary>JCGM 100:2008, H.4, Table H.8: a ratio of correlated rates, by the gradient of a share.</summary>
    [Fact]
    public void A_ratio_of_correlated_readings_has_the_published_uncertainty()
    {
        PublishedRow row = PublishedRows.Example("U40");
        Dictionary<string, Measured> rates = new()
        {
            ["a"] = new(ExactLength.From(Nm((long)(row.Number("recomputed", "Rx") * 10_000))), row.Number("recomputed", "sRx") * 10_000),
            ["b"] = new(ExactLength.From(Nm((long)(row.Number("recomputed", "RS") * 10_000))), row.Number("recomputed", "sRS") * 10_000),
        };
        RelationValue value = Propagation.Value(Kind("share"), "a", null, step => rates[step]);
        Assert.Equal(row.Number("recomputed", "ratio"), value.Number, 2e-6);   // the rates are given to 7 digits
        double u = Propagation.Combine([.. value.Gradient.Select(pair => pair.PerNanometre)], [.. value.Gradient.Select(pair => rates[pair.Step].Uncertainty)], (_, _) => row.Number("recomputed", "r"));
        Assert.Equal(row.Number("recomputed", "u_ratio"), u, 1e-7);
        Assert.Contains("ratio of means 3.167 (0.045)", row["result"], StringComparison.Ordinal);
    }

    private static (double Gap, double Worst, double Rss) Stack(params (string Step, double Size, double Tolerance)[] parts)
    {
        Relation sum = Sheet.Relation("sum", RelationKind.Sum, Any, [.. parts.Select(part => part.Step)]);
        Measured Part(string step) => parts.Where(part => part.Step == step).Select(part => new Measured(ExactLength.From(Um((long)Math.Round(part.Size * 1000))), part.Tolerance * 1e6)).Single();
        RelationValue value = Propagation.Value(sum, parts[0].Step, null, Part);
        return (value.Number / 1e6, value.Gradient.Sum(pair => Math.Abs(pair.PerNanometre) * Part(pair.Step).Uncertainty) / 1e6, value.Uncertainty(Part) / 1e6);
    }

    private static Relation Kind(string name) => Kinds.Single(relation => relation.Id == name);

    private static long Spread(Relation relation, params long[] values)
    {
        List<long> sorted = [.. relation.Of.Select(step => values["abcs".IndexOf(step, StringComparison.Ordinal)]).Order()];
        return sorted.Zip(sorted.Skip(1), (low, high) => high - low).Min();
    }

    private static Func<string, Measured> Readings(long a, long b, long c, long s, double uncertainty = 0)
    {
        Func<string, Measured?> read = Read(uncertainty, ("a", a), ("b", b), ("c", c), ("s", s));
        return step => read(step)!.Value;
    }

    private static RelationValue Value(Relation relation, long a, long b, long c, long s, double uncertainty = 0) => Propagation.Value(
        relation, "a",
        relation.Span is { } stated ? ExactLength.From(stated) : relation.SpanStep is null ? null : ExactLength.From(Um(s)),
        Readings(a, b, c, s, uncertainty));
}
