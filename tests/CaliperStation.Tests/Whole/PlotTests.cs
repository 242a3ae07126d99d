using CaliperStation.Core.Reports;
using CaliperStation.Files;
using CaliperStation.Storage;
using CaliperStation.Tests.Storage;

namespace CaliperStation.Tests.Whole;

/// <summary><c>trend --plot</c>: on a real terminal the kit's graph, elsewhere characters.</summary>
public sealed class PlotTests : IDisposable
{
    private readonly Station _station = new();

    public PlotTests() => StoreFixture.Fill(StorePaths.Find(_station.Store, _ => null, Platform.Unix, ""), 12);   // each reading 1 µm more than the one before: the limits are narrow and both ends are beyond

    public void Dispose() => _station.Dispose();

    [TerminalFact]
    public async Task On_a_terminal_a_key_goes_to_the_next_chart_and_q_leaves()
    {
        using OnTerminal screen = new(_station, "trend", "--plot");

        await screen.SeeAsync("step rack-left");
        await screen.SeeAsync("1 of 2: Quayside parade, 3: 12 coats, out");
        await screen.SeeAsync("+0.01 mm");
        await screen.SeeAsync("X");                // beyond the limits: a sign, for there is no colour here
        screen.Press("\u001b[C");
        await screen.SeeAsync("item rack");
        screen.Press("\u001b[D");
        await screen.SeeAsync("step rack-left");
        screen.Press("q");

        Assert.Equal(ExitCode.Good, await screen.EndAsync());
    }

    [TerminalTheory]
    [InlineData("\u001b")]
    [InlineData("\r")]
    public async Task Esc_and_enter_leave_too(string key)
    {
        using OnTerminal screen = new(_station, "trend", "--plot", "--step", "rack-left");
        await screen.SeeAsync("1 of 1");
        screen.Press(key);

        Assert.Equal(ExitCode.Good, await screen.EndAsync());
    }

    [Fact]
    public void In_a_pipe_every_chart_is_drawn_with_characters_under_the_tables()
    {
        Ran ran = _station.Run("", "trend", "--plot");

        Assert.Equal(ExitCode.Good, ran.ExitCode);
        Assert.StartsWith("Quayside parade, 3: 12 coats", ran.Output, StringComparison.Ordinal);
        string[] lines = ran.Output.Split('\n');
        Assert.All((string[])["step rack-left", "item rack"], name => Assert.Contains(name, lines));   // by itself, above its plot
        Assert.Contains(lines, line => line.Contains(" |", StringComparison.Ordinal) && line.EndsWith('X'));
        Assert.DoesNotContain('\u001b', ran.Output);
    }

    [Fact]
    public void With_nothing_to_chart_that_is_said_and_with_json_it_is_wrong_usage()
    {
        Ran none = _station.Run("", "trend", "--plot", "--standard", "another");
        Assert.Equal((ExitCode.Good, TrendText.Text([], _ => null, TimeZoneInfo.Utc, plotted: true)), (none.ExitCode, none.Output));
        Assert.Equal(ExitCode.Usage, _station.Run("", "trend", "--plot", "--json").ExitCode);
    }
}
