using System.Text.RegularExpressions;
using CaliperStation.Cli;
using CaliperStation.Core.Bench;
using CaliperStation.Core.Quantities;
using CaliperStation.Core.Readings;
using CaliperStation.Core.Sittings;
using CaliperStation.Core.Standards;
using CaliperStation.Core.Tests.Shape;
using CaliperStation.Devices;
using CaliperStation.Screen;
using CaliperStation.Tests.Screen;
using Microsoft.Extensions.Time.Testing;

namespace CaliperStation.Tests.Whole;

/// <summary>Every command and output the README shows is real.</summary>
[Collection(KitCollection.Name)]
public sealed partial class ReadmeTests : IDisposable
{
    private static readonly string Root = SourceTree.Root;
    private static readonly string Readme = File.ReadAllText(Path.Combine(Root, "README.md"));

    private readonly Station _station = new();

    public void Dispose() => _station.Dispose();

    [Fact]
    public void The_picture_is_what_the_screen_shows_in_the_demonstration()
    {
        Plan plan = Plan.For(StandardSource.Demonstration().Standard, new Dictionary<string, string>());
        FakeTimeProvider clock = new(new DateTimeOffset(2026, 11, 25, 8, 0, 0, TimeSpan.Zero));
        EmulatedCaliper caliper = new(plan.Standard.Unit, 1, clock);
        SyntheticBlouse blouse = new(plan, 1, caliper.Resolution);
        SittingEvent.Started started = new("demo", "DEMO-001", "DH", plan.Standard.Sha256, plan.Answers) { At = clock.GetUtcNow() };
        BenchState state = BenchEngine.Begin(
            new Work.Measuring(SittingView.Of(Sitting.Begin(plan, started))), new LiveCaliper { Name = caliper.Name, Source = ReadingSource.Emulated }, new BenchSetup(), Now()).State;
        Moment Now() => new(clock.GetElapsedTime(0), clock.GetUtcNow());
        void Do(BenchInput input) => state = BenchEngine.Step(state, input, Now()).State;
        void Hold(string step)
        {
            caliper.Settle(Length.Millimetre.Times(90));   // the jaws are opened in between
            Do(new BenchInput.Caliper(caliper.Now()));
            caliper.Settle(blouse.Gap(step));
            for (int value = 0; value < 4; value++)
            {
                clock.Advance(TimeSpan.FromMilliseconds(80));
                Do(new BenchInput.Caliper(caliper.Now()));
            }
        }

        Do(new BenchInput.Caliper(new CaliperEvent.Opened()));
        while (state.Want.Prompt is not Prompt.Read { Step.Id: "rack-low-right" })
        {
            clock.Advance(TimeSpan.FromSeconds(1));
            if (state.Want.Prompt is Prompt.Read read)
            {
                Hold(read.Step.Id);
            }

            Do(new BenchInput.Press(PressOrigin.Person));
        }

        Hold("rack-low-right");
        BenchModel model = BenchPresenter.Of(state, clock.GetElapsedTime(0));

        string picture = BenchOnKit.Draw(model, 80, 24);
        string block = Regex.Match(Readme, "<!-- screen -->\n```\n(.*?)```", RegexOptions.Singleline).Groups[1].Value;
        Update($"<!-- screen -->\n```\n{block}```", $"<!-- screen -->\n```\n{picture.TrimEnd('\n')}\n```");
        Assert.Equal(picture.TrimEnd('\n'), block.TrimEnd('\n'));
    }

    [Fact]
    public void Every_session_runs_as_it_is_shown()
    {
        int sessions = 0;
        foreach (Match block in Sessions().Matches(Readme))
        {
            string[] parts = Regex.Split("\n" + block.Groups[1].Value, @"\n\$ ");
            foreach (string part in parts.Skip(1))
            {
                int end = part.IndexOf('\n', StringComparison.Ordinal);
                string shown = part[(end + 1)..].TrimEnd('\n');
                string real = Timeless(Run(part[..end]).TrimEnd('\n'));
                Update($"$ {part}", $"$ {part[..end]}\n{real}\n");
                Assert.Equal(Timeless(shown), real);
                sessions++;
            }
        }

        Assert.True(sessions >= 3);
    }

    [Fact]
    public void The_two_commands_name_what_is_there()
    {
        Assert.Contains("\n    dotnet run --project src/CaliperStation\n    dotnet test CaliperStation.sln\n", Readme, StringComparison.Ordinal);
        Assert.True(File.Exists(Path.Combine(Root, "CaliperStation.sln")));
        Assert.True(File.Exists(Path.Combine(Root, "src", "CaliperStation", "CaliperStation.csproj")));
        Assert.Contains("CaliperStation.sln", File.ReadAllText(Path.Combine(Root, ".ci", "run")), StringComparison.Ordinal);
    }

    [Fact]
    public void Every_command_that_is_named_is_one()
    {
        string[] commands = [.. NamedCommands().Matches(Readme).Select(match => match.Groups["line"].Success ? match.Groups["line"].Value : match.Groups["inline"].Value)];

        Assert.True(commands.Length >= 8);
        Assert.All(commands, command => Assert.Empty(CommandLine.Faults(command.Split(' ', StringSplitOptions.RemoveEmptyEntries))));
        Assert.NotEmpty(CommandLine.Faults(["measure", "--no-such-option"]));
    }

    [Fact]
    public void Every_link_leads_somewhere()
    {
        foreach (Match link in Links().Matches(Readme))
        {
            string path = Path.Combine(Root, link.Groups[1].Value);
            Assert.True(File.Exists(path) || Directory.Exists(path), link.Groups[1].Value);
        }
    }

    /// <summary>Writes the README anew where goldens are to be updated; read the difference before it is committed.</summary>
    private static void Update(string before, string after)
    {
        if (Environment.GetEnvironmentVariable("UPDATE_GOLDENS") == "1")
        {
            string path = Path.Combine(Root, "README.md");
            File.WriteAllText(path, File.ReadAllText(path).Replace(before, after, StringComparison.Ordinal));
        }
    }

    private string Run(string command)
    {
        Match whole = Commands().Match(command);
        Assert.True(whole.Success, command);
        string input = whole.Groups["printf"].Success
            ? whole.Groups["printf"].Value.Replace("\\n", "\n", StringComparison.Ordinal)
            : whole.Groups["echo"].Success ? whole.Groups["echo"].Value + "\n" : "";
        string[] arguments = whole.Groups["arguments"].Value.Split(' ', StringSplitOptions.RemoveEmptyEntries);
        string link = Path.Combine(_station.Folder, "docs");
        if (!Directory.Exists(link))
        {
            Directory.CreateSymbolicLink(link, Path.Combine(Root, "docs"));
        }

        return _station.Run(input, arguments).Output;
    }

    /// <summary>The instant in a record's id is another one each time.</summary>
    private static string Timeless(string text) => Instants().Replace(text, "20261125T080000000Z");

    [GeneratedRegex("<!-- session -->\n```console\n(.*?)```", RegexOptions.Singleline)]
    private static partial Regex Sessions();

    [GeneratedRegex(@"^    caliper-station (?<line>[^#\n]+)|`caliper-station (?<inline>[^`]+)`", RegexOptions.Multiline)]
    private static partial Regex NamedCommands();

    [GeneratedRegex(@"\[[^\]]+\]\(([^)]+)\)")]
    private static partial Regex Links();

    [GeneratedRegex(@"^(?:printf '(?<printf>[^']*)' \| |echo '(?<echo>[^']*)' \| )?caliper-station (?<arguments>[^|']*)$")]
    private static partial Regex Commands();

    [GeneratedRegex(@"\d{8}T\d{9}Z")]
    private static partial Regex Instants();
}
