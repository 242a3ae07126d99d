using CaliperStation.Storage;


namespace CaliperStation.Tests.Storage;

public sealed class StoreBarTests : IDisposable
{
    private readonly StringWriter _error = new();

    public void Dispose() => _error.Dispose();

    [Fact]
    public void Nothing_is_shown_in_the_first_second()
    {
        StoreBar bar = new(_error, isTerminal: true);
        bar.Show(new("making the index", 0, 100, TimeSpan.Zero));
        bar.Show(new("making the index", 50, 100, TimeSpan.FromSeconds(0.9)));
        bar.Show(new("making the index", 100, 100, TimeSpan.FromSeconds(1.1)));

        Assert.Equal("", _error.ToString());
    }

    [Fact]
    public void A_bar_on_a_terminal_grows_on_one_line_and_ends_it()
    {
        StoreBar bar = new(_error, isTerminal: true);
        bar.Show(new("making the index", 25, 100, TimeSpan.FromSeconds(1)));
        bar.Show(new("making the index", 75, 100, TimeSpan.FromSeconds(3)));
        bar.Show(new("making the index", 100, 100, TimeSpan.FromSeconds(4)));

        string[] drawn = _error.ToString().Split('\r', StringSplitOptions.RemoveEmptyEntries);
        Assert.Equal([7, 22, 30], drawn.Select(line => line.Count(character => character == '#')));
        Assert.All(drawn, line => Assert.Equal(30, line.Count(character => character is '#' or '.') - line[32..].Count(character => character == '.')));
        Assert.Equal(1, _error.ToString().Count(character => character == '\n'));
    }

    [Fact]
    public void Elsewhere_there_is_a_line_at_the_begin_and_one_at_the_end()
    {
        StoreBar bar = new(_error, isTerminal: false);
        for (int second = 0; second <= 10; second++)
        {
            bar.Show(new("proving\u001b the journal", second, 10, TimeSpan.FromSeconds(second)));
        }

        Assert.Equal(2, _error.ToString().Count(character => character == '\n'));
        Assert.DoesNotContain(_error.ToString(), character => character is '\u001b' or '\r');
    }
}
