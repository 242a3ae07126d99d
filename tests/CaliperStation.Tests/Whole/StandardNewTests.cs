using CaliperStation.Core.Reports;
using CaliperStation.Core.Standards;

namespace CaliperStation.Tests.Whole;

/// <summary>A first standard by a dialogue in lines.</summary>
public sealed class StandardNewTests : IDisposable
{
    private readonly Station _station = new();

    public void Dispose() => _station.Dispose();

    private string In(string name) => Path.Combine(_station.Folder, name);

    [Fact]
    public void I_can_have_a_first_standard_by_answering_in_lines()
    {
        Ran made = _station.Run("Tide Mill\nt\n1\n2 1 4\n\n4\n\n9\n\n\n", "standard", "new", "first.toml");
        Ran checkedFile = _station.Run("", "standard", "check", "first.toml");

        Assert.Equal(0, made.ExitCode);
        Checked(checkedFile, steps: 14, rules: 10);
        Assert.Contains("\"9 t above the ribbon rack\"", File.ReadAllText(In("first.toml")), StringComparison.Ordinal);
    }

    [Fact]
    public void What_cannot_be_read_is_asked_again()
    {
        Ran made = _station.Run("\nfeet\nmm\nwide\n1\n9\n1\n/etc/passwd\nbreast pocket\nbreast pocket\nlots\n3.5\n", "standard", "new", "first.toml");

        Assert.Equal(0, made.ExitCode);
        FirstDialogue unit = FirstDialogue.Begin("first.toml", isThere: false).Take("").Next;
        FirstDialogue within = unit.Take("").Next;
        Assert.Equal((FirstAsk.Unit, FirstAsk.Within), (unit.Question!.About, within.Question!.About));
        Assert.Equal((2, 2), (made.Output.Split(unit.Question.Ask).Length - 1, made.Output.Split(within.Question.Ask).Length - 1));
        Assert.Contains("\"3.5 mm above the breast pocket\"", File.ReadAllText(In("first.toml")), StringComparison.Ordinal);
    }

    [Fact]
    public void The_end_of_input_writes_nothing()
    {
        Ran stopped = _station.Run("Tide Mill\nin\n", "standard", "new", "first.toml");

        Assert.Equal((130, false), (stopped.ExitCode, File.Exists(In("first.toml"))));
    }

    [Theory]
    [InlineData]
    [InlineData("--example")]
    public void A_file_that_is_there_is_never_written_over(params string[] options)
    {
        string path = _station.File("first.toml", "mine");

        Ran refused = _station.Run("\n\n\n\n\n\n\n\n", ["standard", "new", path, .. options]);

        Assert.Equal((3, "mine"), (refused.ExitCode, File.ReadAllText(path)));
        Assert.Contains("first.toml", refused.Error, StringComparison.Ordinal);
    }

    [Fact]
    public void A_folder_that_is_not_there_is_told()
    {
        Assert.Equal(3, _station.Run("", "standard", "new", "no-folder/first.toml", "--example").ExitCode);
    }

    [Fact]
    public void The_example_is_the_demonstration()
    {
        Assert.Equal(0, _station.Run("", "standard", "new", "demonstration.toml", "--example").ExitCode);
        Assert.Equal(File.ReadAllBytes(Path.Combine(AppContext.BaseDirectory, "Documentation", "harbour-lantern.toml")), File.ReadAllBytes(In("demonstration.toml")));
    }

    [Fact]
    public void The_long_form_of_a_standard_is_a_standard_of_the_same_steps()
    {
        Ran expanded = _station.Run("", "standard", "show", "--expanded");
        string path = _station.File("long.toml", expanded.Output);

        Assert.Equal((0, 0), (expanded.ExitCode, _station.Run("", "standard", "check", path).ExitCode));
        Assert.Equal(_station.Run("", "standard", "show").Output, _station.Run("", "standard", "show", path).Output);
    }

    [Fact]
    public void A_file_that_is_there_is_written_over_only_after_a_yes()
    {
        string path = _station.File("first.toml", "mine");

        Ran stopped = _station.Run("yes\nTide Mill\n", "standard", "new", path);
        string before = File.ReadAllText(path);
        Ran made = _station.Run("yes\n\n\n\n3\n\n\n", "standard", "new", path);

        Assert.Equal((130, "mine", 0), (stopped.ExitCode, before, made.ExitCode));
        Assert.Equal(0, _station.Run("", "standard", "check", path).ExitCode);
    }

    [Fact]
    public void A_dialogue_in_lines_goes_back_and_keeps_what_is_there_when_it_is_left()
    {
        Ran made = _station.Run("Tied Mill\nback\nTide Mill\n\n\n1 3\n\n\nstop\nkeep\n", "standard", "new", "first.toml");
        Ran checkedFile = _station.Run("", "standard", "check", "first.toml");

        Assert.Equal((0, 0), (made.ExitCode, checkedFile.ExitCode));
        Checked(checkedFile, steps: 4, rules: 3);
    }

    /// <summary>It is good, of that name and size: the words of <c>standard check</c> for the same standard say so.</summary>
    private void Checked(Ran ran, int steps, int rules)
    {
        string text = File.ReadAllText(In("first.toml"));
        StandardLoad load = StandardText.Load(text);
        Assert.Equal(("Tide Mill", steps, rules), (load.Standard!.Name, load.Standard.Steps.Count, load.Standard.Relations.Count));
        Assert.Equal((0, StandardCheck.Text([new("first.toml", text, load)])), (ran.ExitCode, ran.Output));
    }

    // The screen sends only cells that differ, so each wait is for text that was not there before.
    [TerminalFact]
    public async Task I_can_answer_on_the_screen_go_back_and_keep_what_is_there()
    {
        using OnTerminal terminal = new(_station, "standard", "new", "first.toml");
        await terminal.SeeAsync("What is the standard called?");
        terminal.Press("Tide Mill\r");
        await terminal.SeeAsync("millimetres");
        terminal.Press("\e[B\r");          // millimetres
        await terminal.SeeAsync("plus or");
        terminal.Press("0.8\r");
        await terminal.SeeAsync("nameplate");
        terminal.Press("\e[B \r");         // the badge too
        await terminal.SeeAsync("sit by?");
        terminal.Press("\r");
        await terminal.SeeAsync("is common");
        terminal.Press("nonsense\r");
        await terminal.SeeAsync("A length above 0");
        terminal.Press("\e");               // back to where it sits
        await terminal.SeeAsync("right pocket");
        terminal.Press("\r");
        await terminal.SeeAsync("is common");
        terminal.Press("4\r");
        await terminal.SeeAsync("Badge");
        terminal.Press("\x11");             // Ctrl-Q
        await terminal.SeeAsync("Keep what is there, 1 of 3 things?");
        terminal.Press("\r");
        await terminal.SeeAsync("written, with 4 readings");

        Assert.Equal(0, await terminal.EndAsync());
        Ran checkedFile = _station.Run("", "standard", "check", "first.toml");
        Checked(checkedFile, steps: 4, rules: 3);
        Assert.Contains("\"4 mm above the left pocket\"", File.ReadAllText(In("first.toml")), StringComparison.Ordinal);
    }

    [TerminalFact]
    public async Task A_signal_on_the_screen_writes_nothing_and_gives_the_terminal_back()
    {
        using OnTerminal terminal = new(_station, "standard", "new", "first.toml");
        await terminal.SeeAsync("What is the standard called?");
        terminal.Press("Tide Mill\r");
        await terminal.SeeAsync("millimetres");
        terminal.Signal("TERM");
        await terminal.SeeAsync("Stopped; nothing was written.");

        Assert.Equal((130, false), (await terminal.EndAsync(), File.Exists(In("first.toml"))));
    }

    [TerminalFact]
    public async Task I_can_answer_in_lines_on_a_terminal()
    {
        using OnTerminal terminal = new(_station, "standard", "new", "first.toml", "--plain");
        await terminal.SeeAsync("What is the standard called?");
        terminal.Press("Tide Mill\r");
        await terminal.SeeAsync("In which unit");
        terminal.Press("\r");
        await terminal.SeeAsync("How far off");
        terminal.Press("\r");
        await terminal.SeeAsync("Their numbers");
        terminal.Press("3\r");
        await terminal.SeeAsync("what does it sit by?");
        terminal.Press("\r");
        await terminal.SeeAsync("how far above the right pocket?");
        terminal.Press("3/8\r");
        await terminal.SeeAsync("written, with 4 readings");

        Assert.Equal(0, await terminal.EndAsync());
        Assert.Contains("\"3/8 in above the right pocket\"", File.ReadAllText(In("first.toml")), StringComparison.Ordinal);
    }
}
