using CaliperStation.Devices;

namespace CaliperStation.Tests.Whole;

/// <summary>The screen on a real terminal; where there is none to be had (no Linux, no <c>script</c>), the headless tests must do.</summary>
public sealed class ScreenTests : IDisposable
{
    private readonly Station _station = new();

    public void Dispose() => _station.Dispose();

    [TerminalFact]
    public async Task Bytes_on_the_serial_side_become_a_verdict_on_the_screen()
    {
        using PseudoTerminal caliper = PseudoTerminal.Open();
        string standard = _station.File("coat.toml", TestStandard.Text);
        using OnTerminal bench = new(_station, "measure", standard, "--tag", "QG-1", "--hand", "AB", "--port", caliper.PortName);
        await bench.SeeAsync("Clean gloves on");
        bench.PressCalmly("\r");
        await bench.SeeAsync("bar low left");
        await bench.SeeAsync("steady", () => caliper.Write("+3.18 mm\r\n"));
        await bench.SeeAsync("WITHIN", () =>
        {
            caliper.Write("+3.18 mm\r\n");
            bench.PressCalmly("\r");
        });
        bench.Press("\u0011");   // Ctrl-Q

        Assert.Equal(130, await bench.EndAsync());
        Assert.Contains("--tag QG-1", bench.Rest, StringComparison.Ordinal);
        Ran resumed = _station.Measure(["stop"], standard, "--tag", "QG-1", "--port", "none");
        Assert.Equal("bar-low-right", resumed.Events("prompt")[0].GetProperty("step").GetString());
    }

    [TerminalFact]
    public async Task A_caliper_that_types_is_filed_as_an_instrument()
    {
        string standard = _station.File("coat.toml", TestStandard.Text);
        using OnTerminal bench = new(_station, "measure", standard, "--tag", "QG-1", "--hand", "AB", "--port", "none");
        await bench.SeeAsync("Clean gloves on");
        bench.PressCalmly("\r");
        await bench.SeeAsync("bar low left");
        await bench.SeeAsync("WITHIN", () => bench.PressCalmly("3,17mm\r"));   // not before the quiet after the press is over
        bench.Press("\u0011");   // Ctrl-Q

        Assert.Equal(130, await bench.EndAsync());
        string journal = string.Concat(Directory.EnumerateFiles(Path.Combine(_station.Store, "journal")).Select(File.ReadAllText));
        Assert.Contains("\"keyboard\"", journal, StringComparison.Ordinal);
    }

    [TerminalFact]
    public async Task The_demonstration_goes_from_first_screen_to_signed_record_by_one_key()
    {
        using OnTerminal bench = new(_station);
        await bench.SeeAsync("Press for the demonstration");
        await bench.SeeAsync("Is the spark worn", () => bench.PressCalmly("\r"));
        await bench.SeeAsync("DEMO-001", () => bench.PressCalmly("\r"));
        await bench.SeeAsync("all moved", () => bench.PressCalmly("\r"));   // the rack lies off at first
        await bench.SeeAsync("Rack flat on the cloth", () => bench.PressCalmly("\r"));
        await bench.SeeAsync("verified.", () => bench.PressCalmly("\r"));
        await bench.SeeAsync("Press for the demonstration", () => bench.PressCalmly("\r"));
        bench.Press("\u0011");   // Ctrl-Q

        Assert.Equal(0, await bench.EndAsync());
        Assert.Equal(0, _station.Run("", "records", "verify").ExitCode);
    }

    [TerminalFact]
    public async Task A_demonstration_left_open_goes_on_from_the_first_page_and_the_page_says_how_to_begin_in_earnest()
    {
        _station.Run("stop\n", "measure", "--plain", "--json");
        using OnTerminal bench = new(_station);
        await bench.SeeAsync("standard new");
        await bench.SeeAsync("DEMO-001 was left open");
        await bench.SeeAsync("goes on where it was left on", () => bench.PressCalmly("\r"));
        bench.Press("\u0011");   // Ctrl-Q
        await bench.SeeAsync("Press for the demonstration");
        bench.Press("\u0011");

        Assert.Equal(0, await bench.EndAsync());
        Assert.Equal(1, string.Concat(Directory.EnumerateFiles(Path.Combine(_station.Store, "journal")).Select(File.ReadAllText)).Split("\"kind\":\"started\"").Length - 1);
    }

    [TerminalTheory]
    [InlineData("TERM")]
    [InlineData("HUP")]
    public async Task A_signal_gives_the_terminal_back(string signal)
    {
        using OnTerminal bench = new(_station, "measure", "--port", "emulated");
        await bench.SeeAsync("DEMO-001");
        bench.Signal(signal);

        Assert.Equal(130, await bench.EndAsync());
        Assert.Contains("\u001b[?1049l", bench.Rest, StringComparison.Ordinal);   // the alternate screen is left (xterm control sequences, DECSET 1049)
    }

    [TerminalFact]
    public async Task The_queue_takes_a_tag_asks_what_it_carries_and_comes_back_after_the_blouse()
    {
        string standard = _station.File("coat.toml", TestStandard.Text), tags = _station.File("tags.txt", "QG-1\nQG-2\n");
        using OnTerminal bench = new(_station, "--standard", standard, "--tags", tags, "--port", "none");
        await bench.SeeAsync("Who measures?");
        bench.Press("ab\r");
        await bench.SeeAsync("AB measures");
        bench.Press("qg-2\r");
        await bench.SeeAsync("Clean gloves on", () => bench.PressCalmly("\r"));
        bench.Press("\u0011");   // Ctrl-Q
        await bench.SeeAsync("left open");
        bench.Press("\u0011");

        Assert.Equal(0, await bench.EndAsync());
    }

    /// <summary>No caliper moves meanwhile, and nothing else is told: what is offered is drawn all the same. Only cells that differ are sent, so the reasons hold letters that stand nowhere else.</summary>
    [TerminalFact]
    public async Task Usual_reasons_for_setting_aside_are_shown_one_after_the_other_and_a_press_takes_one()
    {
        _station.Settings("reasons = [\"XXXX\", \"YYYY\"]\n");
        string standard = _station.File("coat.toml", TestStandard.Text);
        using OnTerminal bench = new(_station, "measure", standard, "--tag", "QG-1", "--hand", "AB", "--port", "none", "--answer", "star=no");
        await bench.SeeAsync("Clean gloves on");
        bench.PressCalmly("\r");
        await bench.SeeAsync("bar low left");
        await bench.SeeAsync("before it is moved", () => bench.PressCalmly("6.0mm\r"));
        await bench.SeeAsync("count them", () => bench.PressCalmly("6.4mm\r"));   // the caution beside the move
        bench.Press("\u0001");   // Ctrl-A
        await bench.SeeAsync("XXXX");
        bench.Press("\u0001");
        await bench.SeeAsync("YYYY");
        await bench.SeeAsync("\u001b[?1049l", () => bench.PressCalmly("\r"));   // this reason, the signature, leave
        Assert.Equal(1, await bench.EndAsync());
        Assert.Contains("\"reason\":\"YYYY\"", string.Concat(Directory.EnumerateFiles(Path.Combine(_station.Store, "journal")).Select(File.ReadAllText)), StringComparison.Ordinal);
    }

    [TerminalFact]
    public async Task A_stopped_bench_gives_the_shell_its_terminal_and_is_drawn_again_whole()
    {
        string standard = _station.File("coat.toml", TestStandard.Text);
        using OnTerminal bench = OnTerminal.AsJob(_station, "measure", standard, "--tag", "QG-1", "--hand", "AB", "--port", "none");
        await bench.SeeAsync("Clean gloves on");
        bench.Press("\u001a");   // Ctrl-Z
        await bench.SeeAsync("\u001b[?1049l");
        await bench.SeeAsync(" icanon");   // not "-icanon": lines, as a shell wants them
        await bench.SeeAsync(" echo ");
        await bench.SeeAsync("\u001b[?1049h");
        await bench.SeeAsync("Clean gloves on");   // no cell of it had changed
        bench.PressCalmly("\r");
        await bench.SeeAsync("bar low left");
        bench.Press("\u0011");   // Ctrl-Q

        Assert.Equal(130, await bench.EndAsync());
    }

    [TerminalFact]
    public async Task A_bench_whose_terminal_is_gone_ends_and_frees_the_store()
    {
        string[] arguments = ["measure", _station.File("coat.toml", TestStandard.Text), "--tag", "QG-1", "--port", "none"];
        using (OnTerminal bench = new(_station, arguments))
        {
            await bench.SeeAsync("Clean gloves on");
            bench.Press("\r");
            await bench.SeeAsync("Top of the pocket");
            await bench.LoseTerminalAsync();
        }

        Assert.Equal("bar-low-left", _station.Measure(["stop"], arguments[1..]).Events("prompt")[0].GetProperty("step").GetString());
    }

    private const string MouseOn = "\u001b[?1000h\u001b[?1006h", MouseOff = "\u001b[?1006l\u001b[?1000l";   // xterm control sequences, DECSET 1000 and 1006

    [TerminalFact]
    public async Task A_click_on_a_hint_is_its_key_a_doubled_one_is_one_and_the_mouse_is_given_back()
    {
        _station.Settings("mouse = true\n");
        using OnTerminal bench = new(_station, "measure", _station.File("coat.toml", TestStandard.Text), "--tag", "QG-1", "--hand", "AB", "--port", "none");
        await bench.SeeAsync(MouseOn);
        await bench.SeeAsync("Clean gloves on");
        await bench.SeeAsync("Top of the pocket", () => bench.PressCalmly("\u001b[<0;2;24M\u001b[<0;2;24m\u001b[<0;2;24M\u001b[<0;2;24m"));   // "Enter confirm"
        string journal = Path.Combine(_station.Store, "journal");
        Assert.Single(Directory.EnumerateFiles(journal).SelectMany(Shared), line => line.Contains("\"kind\":\"ready\"", StringComparison.Ordinal));
        bench.Forget();
        await bench.SeeAsync(MouseOff, () => bench.PressCalmly("\u001b[<0;2;24M\u001b[<0;2;24m"));   // no caliper: the first hint is "Ctrl-Q stop"

        Assert.Equal(130, await bench.EndAsync());
    }

    [TerminalFact]
    public async Task A_click_on_a_line_of_the_queue_takes_that_blouse()
    {
        _station.Settings("mouse = true\n");
        string standard = _station.File("coat.toml", TestStandard.Text), tags = _station.File("tags.txt", "QG-1\nQG-2\nQG-3\n");
        using OnTerminal bench = new(_station, "--standard", standard, "--tags", tags, "--hand", "AB", "--port", "none");
        await bench.SeeAsync("Scan or type a tag");
        await bench.SeeAsync("QG-2: Does this coat", () => bench.PressCalmly("\u001b[<0;8;4M\u001b[<0;8;4m"));   // the second of the list, in the fourth row
        await bench.SeeAsync("Clean gloves on", () => bench.PressCalmly("\u001b[<0;8;4M\u001b[<0;8;4m"));         // its second answer
        bench.Press("\u0011");   // Ctrl-Q
        await bench.SeeAsync("left open");
        await bench.SeeAsync(MouseOff, () => bench.PressCalmly("\u0011"));

        Assert.Equal(0, await bench.EndAsync());
        Assert.Contains("\"star\":\"no\"", string.Concat(Directory.EnumerateFiles(Path.Combine(_station.Store, "journal")).Select(File.ReadAllText)), StringComparison.Ordinal);
    }

    [TerminalTheory]
    [InlineData("TERM")]
    [InlineData("INT")]
    [InlineData("Ctrl-C")]
    public async Task However_the_bench_ends_the_mouse_is_given_back(string how)
    {
        _station.Settings("mouse = true\n");
        using OnTerminal bench = new(_station, "measure", "--port", "emulated");
        await bench.SeeAsync(MouseOn);
        await bench.SeeAsync("DEMO-001");
        if (how == "Ctrl-C")
        {
            bench.Press("\u0003");
        }
        else
        {
            bench.Signal(how);
        }

        await bench.SeeAsync(MouseOff);
        Assert.Equal(130, await bench.EndAsync());
        Assert.DoesNotContain("\u001b[?1000h", bench.Rest, StringComparison.Ordinal);
    }

    [TerminalFact]
    public async Task A_stopped_bench_gives_the_mouse_to_the_shell_and_takes_it_again()
    {
        _station.Settings("mouse = true\n");
        using OnTerminal bench = OnTerminal.AsJob(_station, "measure", _station.File("coat.toml", TestStandard.Text), "--tag", "QG-1", "--hand", "AB", "--port", "none");
        await bench.SeeAsync("Clean gloves on");
        bench.Press("\u001a");   // Ctrl-Z
        await bench.SeeAsync(MouseOff);
        await bench.SeeAsync("\u001b[?1049l");
        await bench.SeeAsync(MouseOn);
        bench.Press("\u0011");   // Ctrl-Q
        await bench.SeeAsync(MouseOff);

        Assert.Equal(130, await bench.EndAsync());
    }

    [TerminalFact]
    public async Task Where_the_mouse_is_not_wanted_the_terminal_keeps_it()
    {
        using OnTerminal bench = new(_station, "measure", "--port", "emulated");
        await bench.SeeAsync("\u001b[?1003l");   // the kit's own, taken back at once
        await bench.SeeAsync("DEMO-001");
        bench.Press("\u0011");   // Ctrl-Q

        Assert.Equal(130, await bench.EndAsync());
        Assert.DoesNotMatch(@"\[\?100[0236]h", bench.Rest);
    }

    private static string[] Shared(string path)
    {
        using FileStream file = new(path, FileMode.Open, FileAccess.Read, FileShare.ReadWrite);
        return new StreamReader(file).ReadToEnd().Split('\n');
    }
}
