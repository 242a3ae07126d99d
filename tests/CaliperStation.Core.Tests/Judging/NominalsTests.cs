using CaliperStation.Core.Judging;
using CaliperStation.Core.Quantities;
using CaliperStation.Core.Standards;
using static CaliperStation.Core.Tests.Judging.Sheet;

namespace CaliperStation.Core.Tests.Judging;

public sealed class NominalsTests
{
    [Fact]
    public void A_step_aims_at_the_nominal_the_middle_of_a_range_or_the_one_limit()
    {
        Assert.Equal(Um(3000), Of(RelationKind.Gap, Around(3000, 500)));
        Assert.Equal(Um(2000), Of(RelationKind.Gap, Between(1000, 3000)));
        Assert.Equal(Um(1000), Of(RelationKind.Size, Between(1000, null)));
        Assert.Equal(Um(3000), Of(RelationKind.Flush, Between(null, 3000)));
        Assert.Equal(Um(-1000), Of(RelationKind.Flush, Around(-1000, 500)));
    }

    [Fact]
    public void A_step_that_is_only_compared_has_no_nominal_of_its_own()
    {
        Standard standard = Build(RelationKind.Level, Around(0, 500), "a", "b");
        Assert.Null(Nominals.Known(standard, "a"));
        Assert.Equal(Length.Inch, Nominals.Of(standard, "a"));
    }

    [Fact]
    public void A_pitch_aims_at_its_nominal_less_the_halves_of_the_sizes()
    {
        Relation pitch = Sheet.Relation("p", RelationKind.Pitch, [Around(20_000, 500)], "a") with { Add = [Um(10_000)], AddSteps = ["w"] };
        Standard standard = new Sheet().Add(pitch).Rule("w", RelationKind.Size, Around(6000, 100), "w").Build();
        Assert.Equal(Um(12_000), Nominals.Of(standard, "a"));
    }

    [Fact]
    public void Pitches_that_name_each_other_as_sizes_come_to_an_end()
    {
        Relation one = Sheet.Relation("one", RelationKind.Pitch, [Around(20_000, 500)], "a") with { AddSteps = ["b"] };
        Relation two = Sheet.Relation("two", RelationKind.Pitch, [Around(30_000, 500)], "b") with { AddSteps = ["a"] };
        Assert.Equal(Um(20_000) - Length.Inch.DividedBy(2, Rounding.HalfEven), Nominals.Of(new Sheet().Add(one).Add(two).Build(), "a"));
    }

    [Fact]
    public void Of_rules_on_answers_the_one_that_applies_gives_the_nominal()
    {
        Sheet sheet = new Sheet().Question("wreath", "no", "yes").Item("x", "pocket").Step("a", "x", "pocket")
            .Add(Sheet.Relation("far", RelationKind.Gap, [Around(6000, 500)], "a") with { When = WhenAnswer("wreath", "no") })
            .Add(Sheet.Relation("near", RelationKind.Gap, [Around(3000, 500)], "a") with { When = WhenAnswer("wreath", "yes") });
        Assert.Equal(Um(6000), Nominals.Of(sheet.Plan(("wreath", "no")), "a"));
        Assert.Equal(Um(3000), Nominals.Of(sheet.Plan(("wreath", "yes")), "a"));
    }

    private static Length Of(RelationKind kind, Limits limits) => Nominals.Of(Build(kind, limits, "a"), "a");

    private static Standard Build(RelationKind kind, Limits limits, params string[] of) => new Sheet().Rule("r", kind, limits, of).Build();
}
