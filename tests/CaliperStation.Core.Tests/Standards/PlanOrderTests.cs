using CaliperStation.Core.Standards;

namespace CaliperStation.Core.Tests.Standards;

public class PlanOrderTests
{
    private const string Text = """
        name = "Ropewalk Watch"
        edition = "1"
        unit = "mm"
        [judging]
        within = "1 mm"
        [[question]]
        id = "wreath"
        ask = "Is the wreath worn?"
        answers = ["no", "yes"]
        [[item]]
        id = "bar"
        name = "bar"
        stands_on = "left pocket"
        size = ["60", "10"]
        place = ["0", "20"]
        pins = [["0", "0"]]
        [[step]]
        id = "span"
        of = "bar"
        from = "left pocket"
        at = ["0", "-5"]
        grows = "up"
        ask = "Bottom edge to bottom edge, the span"
        [[step]]
        id = "left"
        of = "bar"
        from = "left pocket"
        at = ["-30", "-5"]
        grows = "up"
        ask = "Top edge of the pocket to the bottom edge, left"
        [[step]]
        id = "right"
        of = "bar"
        from = "left pocket"
        at = ["30", "-5"]
        grows = "up"
        ask = "Top edge of the pocket to the bottom edge, right"
        [[step]]
        id = "wreath-gap"
        of = "bar"
        from = "left pocket"
        at = ["0", "5"]
        grows = "up"
        ask = "Top edge of the pocket to the top edge of the bar"
        [[relation]]
        id = "rise"
        kind = "level"
        of = ["left", "right"]
        [[relation]]
        id = "slope"
        kind = "angle"
        of = ["left", "right"]
        span = "span"
        nominal = "0 deg"
        within = "2 deg"
        when = { rise = ">= 0 mm" }
        [[relation]]
        id = "wreath-height"
        kind = "gap"
        of = ["wreath-gap"]
        nominal = "20"
        when = { wreath = "yes" }
        """;

    [Fact]
    public void A_span_of_a_conditional_rule_comes_after_what_the_condition_reads() =>
        Assert.Equal(["left", "right", "span"], Plan(wreath: "no").Steps.Select(step => step.Id));

    [Fact]
    public void A_step_that_only_serves_rules_the_answers_left_out_is_not_planned()
    {
        Assert.DoesNotContain("wreath-gap", Plan(wreath: "no").Steps.Select(step => step.Id));
        Assert.Contains("wreath-gap", Plan(wreath: "yes").Steps.Select(step => step.Id));
    }

    private static Plan Plan(string wreath)
    {
        StandardLoad load = StandardText.Load(Text);
        Assert.True(load.IsStandard, string.Join("; ", load.Faults.Select(fault => $"{fault.Line}: {fault.Message}")));
        return CaliperStation.Core.Standards.Plan.For(load.Standard!, new Dictionary<string, string> { ["wreath"] = wreath });
    }
}
