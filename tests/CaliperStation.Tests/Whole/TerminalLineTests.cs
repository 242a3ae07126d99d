
namespace CaliperStation.Tests.Whole;

/// <summary>Every bench in lines, on a terminal in its ordinary state: Enter as the terminal sends it, a key held down, a paste, a window closed.</summary>
public sealed class TerminalLineTests : IDisposable
{
    private readonly Station _station = Station.Measured(out _, "ok", "1/8", "1/8", "1/4", "sign AB");
    private readonly string _standard;

    public static TheoryData<string> Benches => ["measure", "countersign", "recheck", "check", "study"];

    public TerminalLineTests() => _standard = Path.Combine(_station.Folder, "coat.toml");

    public void Dispose() => _station.Dispose();

    [TerminalTheory]
    [MemberData(nameof(Benches))]
    public async Task Enter_ends_a_line(string bench)
    {
        using OnTerminal terminal = Open(bench);
        await terminal.SeeAsync(First(bench));
        terminal.Press(Answer(bench) + "\r");
        await terminal.SeeAsync(Second(bench));
        terminal.Press("stop\r");
        await terminal.SeeAsync("Stopped");

        Assert.Equal(130, await terminal.EndAsync());
    }

    [TerminalTheory]
    [MemberData(nameof(Benches))]
    public async Task Lines_pasted_at_once_are_all_answered(string bench)
    {
        using OnTerminal terminal = Open(bench);
        await terminal.SeeAsync(First(bench));
        terminal.Press($"{Answer(bench)}\r{Another(bench)}\rstop\r");
        await terminal.SeeAsync(Second(bench));
        await terminal.SeeAsync(Third(bench));
        await terminal.SeeAsync("Stopped");

        Assert.Equal(130, await terminal.EndAsync());
    }

    [TerminalTheory]
    [MemberData(nameof(Benches))]
    public async Task A_closed_window_ends_it_and_leaves_the_store_free(string bench)
    {
        using OnTerminal terminal = Open(bench);
        await terminal.SeeAsync(First(bench));
        await terminal.LoseTerminalAsync();

        Assert.Equal(130, _station.Run("stop\n", Arguments(bench)).ExitCode);
    }

    [TerminalFact]
    public async Task A_key_held_down_confirms_one_line_and_takes_one_reading()
    {
        using OnTerminal lines = new(_station, "measure", _standard, "--tag", "QG-7", "--hand", "AB", "--port", "emulated", "--plain");
        await lines.SeeAsync("Clean gloves on");
        await HoldAsync(lines);
        await lines.SeeAsync("bar low left");
        await HoldAsync(lines);
        lines.Press("stop\r");
        Assert.Equal(130, await lines.EndAsync());

        string journal = string.Concat(Directory.EnumerateFiles(Path.Combine(_station.Store, "journal")).Select(File.ReadAllText));
        Assert.Equal((1 + 1, 1 + 3, 0 + 1), (Count(journal, "\"kind\":\"ready\""), Count(journal, "\"kind\":\"reading\""), Count(journal, "\"kind\":\"signed\"")));
    }

    [TerminalFact]
    public async Task A_key_held_down_on_the_screen_confirms_one_line_and_takes_one_reading()
    {
        using OnTerminal screen = new(_station, "measure", _standard, "--tag", "QG-8", "--hand", "AB", "--port", "emulated");
        await screen.SeeAsync("Clean gloves on");
        await HoldAsync(screen);
        await screen.SeeAsync("bar low left");
        await screen.SeeAsync("steady");
        await HoldAsync(screen);
        screen.Press("\u0011");   // Ctrl-Q
        Assert.Equal(130, await screen.EndAsync());

        string journal = string.Concat(Directory.EnumerateFiles(Path.Combine(_station.Store, "journal")).Select(File.ReadAllText));
        Assert.Equal((1 + 1, 1 + 3, 0 + 1), (Count(journal, "\"kind\":\"ready\""), Count(journal, "\"kind\":\"reading\""), Count(journal, "\"kind\":\"signed\"")));
    }

    [TerminalTheory]
    [InlineData("countersign", "countersign")]
    [InlineData("recheck", "recheck")]
    [InlineData("check", "gauge blocks")]
    [InlineData("study", "study of hands")]
    public async Task Every_kind_of_sitting_has_the_screen(string bench, string heading)
    {
        using OnTerminal screen = new(_station, Arguments(bench).Where(argument => argument != "--plain"));
        await screen.SeeAsync(heading);
        screen.Press(Answer(bench) + "\r");
        await screen.SeeAsync(bench switch { "check" => "30 mm", "study" => "Point 3 time 1", _ => "right" });
        screen.Press("\u0011");   // Ctrl-Q

        Assert.Equal(130, await screen.EndAsync());
    }

    /// <summary>
    /// As keyboards do: the key, half a second later its first repeat, then one each 33 ms. A thread of its own keeps the time: on the pool, whose threads
    /// wait for the terminal, a repeat came more than a second late, and was another press.
    /// </summary>
    private static Task HoldAsync(OnTerminal terminal) => Task.Factory.StartNew(
        () =>
        {
            using ManualResetEvent never = new(false);
            never.WaitOne(TimeSpan.FromSeconds(1));   // a press that confirms wants quiet before it
            terminal.Press("\r");
            never.WaitOne(TimeSpan.FromMilliseconds(500));
            for (int repeat = 0; repeat < 45; repeat++)
            {
                terminal.Press("\r");
                never.WaitOne(TimeSpan.FromMilliseconds(33));
            }
        },
        CancellationToken.None, TaskCreationOptions.LongRunning, TaskScheduler.Default);

    /// <summary>Beside those of QG-1, which was measured before: one confirmation, three readings, one signature.</summary>
    private static int Count(string text, string part) => text.Split(part).Length - 1;

    private OnTerminal Open(string bench) => new(_station, Arguments(bench));

    private string[] Arguments(string bench)
    {
        return bench switch
        {
            "measure" => ["measure", _standard, "--tag", "QG-2", "--hand", "AB", "--port", "none", "--plain"],
            "countersign" => ["countersign", "QG-1", "--hand", "CD", "--port", "none", "--seed", "7", "--plain"],
            "recheck" => ["recheck", "QG-1", "--hand", "CD", "--port", "none", "--plain"],
            "study" => ["study", "begin", "--points", "3", "--hands", "AB", "--hand", "AB", "--seed", "5", "--port", "none", "--plain"],
            _ => ["caliper", "check", "--port", "none", "--plain"],
        };
    }

    private static string First(string bench) => bench switch { "measure" => "Clean gloves on", "check" => "check [1/8]", "study" => "reading [1/9]", _ => "bar low left" };

    private static string Second(string bench) => bench switch { "measure" => "bar low left", "check" => "check [2/8]", "study" => "reading [2/9]", _ => "bar low right" };

    private static string Third(string bench) => bench switch { "measure" => "bar low right", "check" => "check [3/8]", "study" => "reading [3/9]", _ => "star gap" };

    private static string Answer(string bench) => bench switch { "measure" => "ok", "check" => "0.00", "study" => "11.11", _ => "1/8" };

    private static string Another(string bench) => bench switch { "measure" => "1/8", "check" => "30.00", "study" => "12.12", _ => "1/8" };
}
