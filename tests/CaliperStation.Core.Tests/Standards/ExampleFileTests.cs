using CaliperStation.Core.Quantities;
using CaliperStation.Core.Standards;

namespace CaliperStation.Core.Tests.Standards;

public class ExampleFileTests
{
    private static readonly Standard Quayside = StandardFiles.Loaded(StandardFiles.Text("quayside-parade.toml"));

    [Fact]
    public void Its_head_is_read_as_written()
    {
        Assert.Equal("Quayside Watch, parade blouse", Quayside.Name);
        Assert.Equal("2026-1", Quayside.Edition);
        Assert.Equal((LengthUnit.Inch, LengthDisplay.Ticks, Sides.Viewer), (Quayside.Unit, Quayside.Show, Quayside.Sides));
        Assert.Equal(
            new JudgingSettings(DecisionRule.Guarded, 0.95, Length.Tick, Length.FromMicrometres(100), Length.FromMicrometres(20)),
            Quayside.Judging);
        Assert.Equal(64, Quayside.Sha256.Length);
    }

    [Fact]
    public void Its_order_of_work_is_derived_from_what_stands_on_what()
    {
        Plan plan = Plan.For(Quayside, new Dictionary<string, string> { ["second-badge"] = "yes" });

        Assert.Equal(["hands", "pockets", "cord-on"], plan.Ready.Select(line => line.Id));
        Assert.Equal(["rack", "badge", "badge-2", "collar-left"], plan.Items.Select(item => item.Id));
        Assert.Equal(
            [
                "rack-left", "rack-right", "rack-low-left", "rack-low-right", "badge-gap-left", "badge-gap-right", "badge-left", "badge-right",
                "badge-2-gap", "collar-left-corner", "collar-left-front", "collar-left-seam",
            ],
            plan.Steps.Select(step => step.Id));
    }

    [Fact]
    public void Answers_decide_what_is_worn_and_what_is_made_ready()
    {
        Plan usual = Plan.For(Quayside, new Dictionary<string, string>());
        Plan bare = Plan.For(Quayside, new Dictionary<string, string> { ["cord"] = "no", ["second-badge"] = "no" });

        Assert.DoesNotContain(usual.Steps, step => step.Of == "badge-2");
        Assert.DoesNotContain(usual.Relations, relation => relation.Id == "badge-2-gap");
        Assert.DoesNotContain(usual.Items, item => item.Id == "badge-2");
        Assert.Contains(usual.Ready, line => line.Id == "cord-on");
        Assert.DoesNotContain(bare.Ready, line => line.Id == "cord-on");
    }

    [Fact]
    public void Its_limits_are_exact()
    {
        Limits Only(string id) => Assert.Single(Quayside.FindRelation(id)!.Limits);
        static Length Ticks(int halves) => Length.FromSixtyFourths(halves);

        Assert.Equal(new Limits(Ticks(7), Ticks(9), Ticks(8)), Only("rack-height"));
        Assert.Equal(new Limits(Ticks(18), Ticks(22), Ticks(20)), Only("badge-height"));
        Assert.Equal(new Limits(Ticks(-2), Ticks(2), Length.Zero), Only("rack-centred"));
        Assert.Equal(new Limits(Ticks(-1), Ticks(1), Length.Zero), Only("rack-level"));
        Assert.Equal(
            [new Limits(Ticks(6), Ticks(10), Ticks(8)), new Limits(Ticks(14), Ticks(18), Ticks(16))],
            Quayside.FindRelation("badge-2-gap")!.Limits);
    }

    [Fact]
    public void Landmarks_are_what_items_stand_on_without_being_items()
    {
        Assert.Equal(["left pocket", "left collar corner"], Quayside.Landmarks.Select(landmark => landmark.Name));
    }

    [Fact]
    public void The_same_bytes_with_a_byte_order_mark_load_alike_but_for_the_hash()
    {
        byte[] bytes = System.Text.Encoding.UTF8.GetBytes(StandardFiles.Text("quayside-parade.toml"));

        StandardLoad plain = StandardText.Load(bytes), marked = StandardText.Load([0xEF, 0xBB, 0xBF, .. bytes]);

        Assert.True(plain.IsStandard && marked.IsStandard);
        Assert.Equal(plain.Standard.Sha256, Quayside.Sha256);
        Assert.NotEqual(plain.Standard.Sha256, marked.Standard.Sha256);
        Assert.Equal(plain.Standard.Steps.Count, marked.Standard.Steps.Count);
    }
}
