using CaliperStation.Core.Sittings;

namespace CaliperStation.Core.Tests.Sittings;

/// <summary>Every cell of the table of prompts and commands in <see cref="Sitting"/>'s remarks.</summary>
public sealed class SittingPromptTableTests
{
    private static readonly string[] Commands = ["Confirm", "Take", "Retake", "Move", "Aside", "Sign", "TakeOver", "CorrectTag", "Abandon", "Unconfirm", "NotSo"];

    /// <summary>Prompt, and for each command in that order whether it fits.</summary>
    private static readonly (string Prompt, string Fits)[] Table = [
        ("Ready", "y.....yyy.."),
        ("Look", "y.yy..yyy.y"),
        ("Look, not so", "y.yyy.yyy.."),
        ("Read, nothing read yet", ".y.y..yyyy."),
        ("Read", ".yyy..yyy.."),
        ("Read again", ".yyyy.yyy.."),
        ("Decide", "..yyy.yyy.."),
        ("Sign, nothing to read", "...y.yyyy.."),
        ("Sign", "..yy.yyyy.."),
        ("Closed", "..........."),
    ];

    public static TheoryData<string, string, bool> Cells
    {
        get
        {
            TheoryData<string, string, bool> cells = [];
            foreach ((string prompt, string fits) in Table)
            {
                for (int i = 0; i < Commands.Length; i++)
                {
                    cells.Add(prompt, Commands[i], fits[i] == 'y');
                }
            }

            return cells;
        }
    }

    [Theory]
    [MemberData(nameof(Cells))]
    public void A_command_fits_its_prompts_and_no_other(string prompt, string command, bool fits)
    {
        SittingRun run = At(prompt);
        SittingState before = run.State;
        Decision decision = run.Try(Command(command));
        Assert.Equal(fits, decision.Refusal is null);
        Assert.Equal(fits, decision.Events.Count > 0);
        Assert.Equal(!fits, before.Equals(run.State));
        Assert.Equal(run.State, run.Replayed());
    }

    [Fact]
    public void Every_prompt_and_every_command_is_in_the_table()
    {
        Assert.Equal(typeof(Prompt).GetNestedTypes().Select(type => type.Name).Order(), Table.Select(row => At(row.Prompt).Prompt.GetType().Name).Distinct().Order());
        Assert.Equal(typeof(SittingCommand).GetNestedTypes().Select(type => type.Name).Order(), Commands.Order());
    }

    private static SittingRun At(string prompt)
    {
        SittingRun run = prompt switch
        {
            "Ready" => new SittingRun(Coat.RackBadgeCord().Plan()),
            "Look" => Seen(),
            "Look, not so" => Seen().Do(new SittingCommand.NotSo()),
            "Read, nothing read yet" => Coat.Ready(),
            "Read" => Coat.Ready().Take(3000),
            "Read again" => Coat.Ready().Take(3400, 3200),
            "Decide" => Coat.Ready().Take(9000),
            "Sign, nothing to read" => Coat.Ready(new Judging.Sheet().Item("rack", "pocket")),
            "Sign" => Coat.Ready().Take(3000, 3000, 3000, 3000),
            "Closed" => Coat.Ready().Take(3000, 3000, 3000, 3000).Sign(),
            _ => throw new ArgumentException(prompt, nameof(prompt)),
        };
        Assert.Equal(prompt == "Read again", run.AskedAgainFor is not null);
        return run;
    }

    private static SittingRun Seen() => Coat.Ready(Coat.RackBadgeCord().Look("flat", new(Core.Standards.LookWhen.After, "rack-left"))).Take(3000);

    private static SittingCommand Command(string name) => name switch
    {
        "Confirm" => new SittingCommand.Confirm(),
        "Take" => new SittingCommand.Take(SittingRun.Reading(3000)),
        "Retake" => new SittingCommand.Retake(),
        "Move" => new SittingCommand.Move(["rack"]),
        "Aside" => new SittingCommand.Aside("a reason"),
        "Sign" => new SittingCommand.Sign("AB"),
        "TakeOver" => new SittingCommand.TakeOver("CD"),
        "CorrectTag" => new SittingCommand.CorrectTag("QG-2", "a reason"),
        "Abandon" => new SittingCommand.Abandon("a reason"),
        "Unconfirm" => new SittingCommand.Unconfirm("hands"),
        "NotSo" => new SittingCommand.NotSo(),
        _ => throw new ArgumentException(name, nameof(name)),
    };
}
