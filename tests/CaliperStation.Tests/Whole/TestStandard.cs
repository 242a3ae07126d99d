namespace CaliperStation.Tests.Whole;

/// <summary>A small standard of an invented company for whole runs: a bar on a pocket and a star over the bar.</summary>
internal static class TestStandard
{
    internal const string Text = """
        name = "Lock Keepers, test coat"
        edition = "1"
        unit = "in"
        show = "ticks"

        [judging]
        rule = "guarded"
        confidence = 0.95
        within = "1/32"
        hand = "0.10 mm"

        [[question]]
        id = "star"
        ask = "Does this coat carry the star?"
        answers = ["yes", "no"]

        [[ready]]
        id = "hands"
        ask = "Clean gloves on"
        caution = "Mind the pins."

        [[item]]
        id = "star"
        name = "star"
        stands_on = "bar"
        size = ["1", "1"]
        place = ["0", "1"]
        pins = [["0", "0"]]
        when = { star = "yes" }

        [[item]]
        id = "bar"
        name = "bar"
        stands_on = "left pocket"
        size = ["3", "1/2"]
        place = ["0", "3/8"]
        pins = [["-1", "0"], ["1", "0"]]

        [[step]]
        id = "star-gap"
        of = "star"
        from = "bar"
        at = ["0", "-1/2"]
        grows = "up"
        ask = "Top of the bar to the bottom of the star"

        [[step]]
        id = "bar-low-left"
        of = "bar"
        from = "left pocket"
        at = ["-1", "-1/4"]
        grows = "up"
        ask = "Top of the pocket to the bottom of the bar, at the left pin"

        [[step]]
        id = "bar-low-right"
        of = "bar"
        from = "left pocket"
        at = ["1", "-1/4"]
        grows = "up"
        ask = "Top of the pocket to the bottom of the bar, at the right pin"

        [[relation]]
        id = "bar-height"
        kind = "gap"
        of = ["bar-low-left", "bar-low-right"]
        nominal = "1/8"

        [[relation]]
        id = "bar-level"
        kind = "level"
        of = ["bar-low-left", "bar-low-right"]

        [[relation]]
        id = "star-height"
        kind = "gap"
        of = ["star-gap"]
        nominal = "1/4"
        """;
}
