namespace CaliperStation.Core.Tests.Standards;

/// <summary>A small standard without faults, whose lines the fault tests replace one by one.</summary>
internal static class SmallStandard
{
    internal const string Text = """
        name    = "Test company"
        edition = "1"
        unit    = "in"
        show    = "ticks"
        [judging]
        rule    = "guarded"
        within  = "1/32"
        hand    = "0.1 mm"
        [[question]]
        id      = "cord"
        ask     = "Is the cord worn?"
        answers = ["yes", "no"]
        [[ready]]
        id      = "hands"
        ask     = "Hands clean"
        when    = { cord = "yes" }
        [[landmark]]
        name    = "left pocket"
        at      = ["3", "2"]
        size    = ["5", "5"]
        [[item]]
        id        = "rack"
        name      = "ribbon rack"
        stands_on = "left pocket"
        size      = ["4", "3/4"]
        place     = ["0", "1/2"]
        pins      = [["-1", "0"], ["1", "0"]]
        [[item]]
        id        = "badge"
        name      = "badge"
        stands_on = "rack"
        rows      = { count = 7, per-row = 3, part = ["1/2", "1/4"], gap = "1/16" }
        place     = ["0", "above 1/4"]
        pins      = [["0", "0"]]
        [[step]]
        id    = "low-left"
        of    = "rack"
        from  = "left pocket"
        at    = ["-1", "-3/8"]
        grows = "up"
        ask   = "Pocket to rack, left"
        [[step]]
        id    = "low-right"
        of    = "rack"
        from  = "left pocket"
        at    = ["1", "-3/8"]
        grows = "up"
        ask   = "Pocket to rack, right"
        [[step]]
        id    = "side"
        of    = "rack"
        from  = "left pocket"
        at    = ["left", "middle"]
        grows = "right"
        ask   = "Pocket edge to rack"
        [[step]]
        id    = "badge-low"
        of    = "badge"
        from  = "rack"
        at    = ["middle", "bottom"]
        grows = "up"
        ask   = "Rack to badge"
        [[step]]
        id    = "badge-width"
        of    = "badge"
        reads = "width"
        ask   = "Width of the badge"
        [[step]]
        id    = "rack-width"
        of    = "rack"
        reads = "width"
        ask   = "Width of the rack"
        [[relation]]
        id      = "height"
        kind    = "gap"
        of      = ["low-left", "low-right"]
        nominal = "1/8"
        within  = "1/64"
        [[relation]]
        id   = "level"
        kind = "level"
        of   = ["low-left", "low-right"]
        [[relation]]
        id  = "side"
        kind = "gap"
        of  = ["side"]
        min = "1/4"
        max = "3/4"
        [[relation]]
        id   = "hidden"
        kind = "share"
        of   = ["badge-width", "rack-width"]
        [[relation]]
        id      = "badge-height"
        kind    = "gap"
        of      = ["badge-low"]
        any-of  = ["1/4", "1/2"]
        when    = { hidden = ">= 1/3", cord = ["yes", "no"], badge.rows = ">= 3" }

        """;

    /// <summary>The text with one piece of it replaced; the piece must be there once.</summary>
    internal static string With(string piece, string instead)
    {
        int at = Text.IndexOf(piece, StringComparison.Ordinal);
        Assert.True(at >= 0 && Text.IndexOf(piece, at + 1, StringComparison.Ordinal) < 0, $"\"{piece}\" is not there exactly once");
        return Text.Replace(piece, instead, StringComparison.Ordinal);
    }
}
