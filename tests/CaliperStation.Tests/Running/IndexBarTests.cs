using CaliperStation.Running;

namespace CaliperStation.Tests.Running;

public class IndexBarTests
{
    [Fact]
    public void On_a_terminal_a_bar_says_what_how_much_and_how_long_and_ends_its_line()
    {
        using StringWriter error = new();
        IndexBar bar = new(error, isTerminal: true);
        bar.Show(new("the index is \e[31mmissing", 5_000, 10_000, TimeSpan.FromSeconds(1.25)));
        bar.Show(new("the index is missing", 10_000, 10_000, TimeSpan.FromSeconds(2.5)));
        string[] shown = error.ToString().Split('\r')[1..];
        Assert.StartsWith("[###############...............] index (the index is \\x1B[31mmissing): 5000 of 10000 events, 1.", shown[0], StringComparison.Ordinal);
        Assert.Equal("[##############################] index (the index is missing): 10000 of 10000 events, 2.5 s\n", shown[1]);
    }

    [Fact]
    public void Elsewhere_a_line_stands_at_the_begin_and_at_the_end()
    {
        using StringWriter error = new();
        IndexBar bar = new(error, isTerminal: false);
        foreach (long done in (long[])[0, 3_000, 6_000, 10_000])
        {
            bar.Show(new("the index is behind", done, 10_000, TimeSpan.FromSeconds(done / 1_000.0)));
        }

        Assert.Equal(["index (the index is behind): 0 of 10000 events, 0.0 s", "index (the index is behind): 10000 of 10000 events, 10.0 s"], error.ToString().Split(Environment.NewLine)[..^1]);
    }

    [Fact]
    public void What_is_done_before_it_is_read_shows_nothing()
    {
        using StringWriter error = new();
        new IndexBar(error, isTerminal: true).Show(new("the index is behind", 100, 100, TimeSpan.Zero));
        Assert.Empty(error.ToString());
    }
}
