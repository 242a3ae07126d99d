using CaliperStation.Core.Bench;
using CaliperStation.Core.Quantities;
using CaliperStation.Core.Sittings;
using CaliperStation.Core.Studies;

namespace CaliperStation.Core.Tests.Bench;

/// <summary>What is offered works, and what is not offered is refused: asked of every word at every kind of prompt.</summary>
public sealed class OffersTests
{
    private static readonly BenchSetup _withReasons = new() { Reasons = ["as ordered", "the cloth does not allow it"], Hand = "AB" };

    public static TheoryData<string> Prompts => [.. _prompts.Keys];

    private static readonly Dictionary<string, Func<TestBench>> _prompts = new()
    {
        ["the first readiness line"] = () => TestBench.Open(),
        ["the second readiness line"] = () => After(TestBench.Open(), "ok"),
        ["the first reading"] = () => TestBench.Open().Ready(),
        ["the second reading"] = () => After(TestBench.Open().Ready(), "14 t"),
        ["an odd reading"] = () => After(TestBench.Open().Ready(), "14 t", "400 mm"),
        ["an odd number without a unit"] = () => After(TestBench.Open().Ready(), "14 t", "400"),
        ["outside, and a reading is wanted before the move"] = () => After(TestBench.Open().Ready(), "14 t", "18 t"),
        ["the same with usual reasons"] = () => After(TestBench.Open(setup: _withReasons).Ready(), "14 t", "18 t"),
        ["outside"] = () => After(TestBench.Open().Ready(), "14 t", "18 t", "6 t", "6 t"),
        ["outside, with usual reasons"] = () => After(TestBench.Open(setup: _withReasons).Ready(), "14 t", "18 t", "6 t", "6 t"),
        ["a pin is moved"] = () => Pressed(After(TestBench.Open().Ready(), "14 t", "18 t", "6 t", "6 t")),
        ["a reason is offered"] = () => After(TestBench.Open(setup: _withReasons).Ready(), "14 t", "18 t", "6 t", "6 t", "aside"),
        ["borderline"] = () => After(TestBench.Open().Ready(), "14 t", "14 t", "6 t", "6.9 t"),
        ["a look"] = () => After(TestBench.Open().Ready(), "14 t", "14 t", "6 t", "6 t"),
        ["a look answered no"] = () => After(TestBench.Open().Ready(), "14 t", "14 t", "6 t", "6 t", "no"),
        ["moved"] = () => After(TestBench.Open().Ready(), "14 t", "18 t", "6 t", "6 t", "moved"),
        ["the signature"] = ToSign,
        ["closed"] = () => After(ToSign(), "sign AB"),
        ["a study"] = () => Study(),
        ["a study, begun"] = () => After(Study(), "11.1 mm"),
        ["a caliper check"] = () => Check(),
        ["a caliper check, begun"] = () => After(Check(), "0.00 mm"),
    };

    [Theory]
    [MemberData(nameof(Prompts))]
    public void Every_word_that_is_offered_works_and_every_other_is_refused(string prompt)
    {
        IReadOnlyList<Offer> offers = Offers.Of(_prompts[prompt]().State);
        foreach (AnswerWord word in Answer.Words)
        {
            foreach (string line in Lines(word, offers))
            {
                bool isOffered = offers.Any(offer => offer.Act == word.Act) && !(word.Word == "ok" && _prompts[prompt]().State.Warning is not null);   // which would be said to a readiness line
                Assert.True(isOffered == Works(_prompts[prompt](), new BenchInput.Says(Answer.Of(line))), $"{prompt}: {line}");
            }
        }
    }

    [Theory]
    [MemberData(nameof(Prompts))]
    public void A_press_and_the_second_switch_are_offered_where_they_do_something(string prompt)
    {
        IReadOnlyList<Offer> offers = Offers.Of(_prompts[prompt]().State);
        Assert.True(offers.Any(offer => offer.Act == Act.Press) == Works(_prompts[prompt](), new BenchInput.Press(PressOrigin.Person)), $"{prompt}: press");
        Assert.True(offers.Any(offer => offer.IsNotSo) == Works(_prompts[prompt](), new BenchInput.NotSo()), $"{prompt}: not so");
        Assert.True(offers.Any(offer => offer.Act == Act.Type) == Works(_prompts[prompt](), new BenchInput.Says(Answer.Of("11.15 mm"))), $"{prompt}: a length");
    }

    [Theory]
    [MemberData(nameof(Prompts))]
    public void Words_that_are_no_answer_are_answered_with_what_is_offered(string prompt)
    {
        TestBench bench = _prompts[prompt]();
        IReadOnlyList<Offer> offers = Offers.Of(bench.State);
        bench.Say("well then");
        string why = Assert.Single(bench.Told.OfType<Said.Refused>()).Why;
        Assert.Equal(offers.Select(offer => offer.Said).Distinct(), why[(why.IndexOf("say ", StringComparison.Ordinal) + 4)..].Split(", "));
    }

    [Fact]
    public void A_coat_of_an_earlier_day_can_be_said_to_be_another_and_its_sitting_stays_open()
    {
        TestBench bench = TestBench.Open(setup: new BenchSetup { Resume = new Resume("HL-001", ["AB"], TestBench.At(TimeSpan.Zero).At, 3, true, false) });
        Assert.Equal([Act.Yes, Act.No, Act.Stop, Act.Tag, Act.Abandon], Offers.Of(bench.State).Select(offer => offer.Act));
        Assert.Equal(Act.No, Assert.Single(Offers.Of(bench.State), offer => offer.IsNotSo).Act);
        bench.Say("no");
        Assert.Equal(BenchEnd.Stopped, bench.State.End);
        Assert.Empty(bench.AllWritten);
    }

    [Theory]
    [InlineData("yes", 1)]
    [InlineData("no", 0)]
    public void What_is_offered_for_an_odd_reading_answers_it(string line, int taken)
    {
        TestBench bench = After(TestBench.Open().Ready(), "400 mm");
        Assert.NotNull(bench.State.Warning);
        Assert.Equal([Act.Yes, Act.Type, Act.No], Offers.Of(bench.State).Take(3).Select(offer => offer.Act));
        bench.Say(line);
        Assert.Null(bench.State.Warning);
        Assert.Equal(taken, bench.AllWritten.OfType<SittingEvent.Took>().Count());
    }

    [Fact]
    public void Undo_goes_back_step_by_step_to_the_first_line()
    {
        TestBench bench = After(TestBench.Open().Ready(), "14 t", "14 t");
        string[] asked = [.. bench.State.Work.View.State.Plan.Ready.Select(line => line.Id)];
        bench.Say("undo");
        Assert.Equal("rack-right", bench.WantedStep);
        bench.Say("undo");
        Assert.Equal("rack-left", bench.WantedStep);
        foreach (string line in asked.Reverse())
        {
            bench.Say("undo");
            Assert.Equal(line, Assert.IsType<Prompt.See>(bench.State.Want.Prompt).Look.Id);
        }

        bench.Say("undo");
        Assert.IsType<Said.Refused>(bench.Told[0]);
    }

    [Fact]
    public void Undo_takes_back_nothing_from_before_what_cannot_be_taken_back()
    {
        TestBench moved = After(TestBench.Open().Ready(), "14 t", "18 t", "6 t", "6 t", "moved", "undo");
        Assert.IsType<Said.Refused>(moved.Told[0]);
        Assert.Null(moved.State.Warning);

        TestBench no = After(TestBench.Open().Ready(), "14 t", "14 t", "6 t", "6 t", "no", "undo");
        Assert.IsType<Said.Refused>(no.Told[0]);
        Assert.True(Assert.IsType<Prompt.See>(no.State.Want.Prompt).IsNot);

        TestBench odd = After(TestBench.Open().Ready(), "14 t", "400 mm", "undo");
        Assert.Null(odd.State.Warning);
        Assert.Equal("rack-right", odd.WantedStep);
    }

    private static TestBench ToSign()
    {
        TestBench bench = TestBench.Open().Ready();
        while (bench.State.Want.Prompt is not Prompt.Sign)
        {
            switch (bench.State.Want.Prompt)
            {
                case Prompt.See:
                    bench.Say("ok");
                    break;
                case Prompt.Read { Step: var step }:
                    bench.Say(LengthFormat.ShowExact(Core.Judging.Nominals.Of(bench.State.Work.View.State.Plan.Standard, step.Id)));
                    if (bench.State.Warning is not null)
                    {
                        bench.Say("yes");
                    }

                    break;
                default:
                    throw new InvalidOperationException(bench.State.Want.Prompt.ToString());
            }
        }

        return bench;
    }

    private static TestBench Study() => TestBench.Open(
        new Work.Studying(StudySitting.Begin(new StudyPlan("s", "free points", "", LengthUnit.Millimetre, LengthDisplay.Millimetre, ["AB", "CD"], StudyPlan.FreePoints(3), 2, 5, null, TestBench.At(TimeSpan.Zero).At))),
        setup: new BenchSetup { Hand = "AB" });

    private static TestBench Check() => TestBench.Open(Work.Checking.Begin(
        new(Length.Millimetre.Times(150), new(new PermissibleError(Length.FromMicrometres(20))), [.. new long[] { 0, 10, 140 }.Select(block => CheckPoint.Asked(Length.Millimetre.Times(block)))]),
        TestBench.At(TimeSpan.Zero).At));

    private static TestBench After(TestBench bench, params string[] lines)
    {
        foreach (string line in lines)
        {
            bench.Say(line);
        }

        return bench;
    }

    private static TestBench Pressed(TestBench bench)
    {
        bench.Press();
        return bench;
    }

    /// <summary>The word as it may be said: with what follows it, one line for each choice.</summary>
    private static IEnumerable<string> Lines(AnswerWord word, IReadOnlyList<Offer> offers)
    {
        Offer? offer = offers.FirstOrDefault(each => each.Act == word.Act);
        bool isBare = (offer?.Takes ?? word.Takes) is "" or ['[', ..];
        IEnumerable<string> bare = isBare ? [word.Word] : [];
        IEnumerable<string> chosen = offer?.Choices.Select(choice => $"{word.Word} {choice.Said}") ?? [];
        string? more = word.Act switch { Act.Aside or Act.Abandon => "a reason", Act.Sign => "AB", Act.Hand when offer is not { Choices.Count: > 0 } => "QX", Act.Tag => "HL-9 scanned wrongly", _ => null };
        return [.. bare, .. chosen, .. more is null ? (string[])[] : [$"{word.Word} {more}"]];
    }

    private static bool Works(TestBench bench, BenchInput input)
    {
        BenchState before = bench.State;
        bench.Do(input, 2_000);
        bench.Wait(1_000);
        return (bench.State.End, bench.State.Work, bench.State.Warning, bench.State.Offered, bench.State.PinsMoved) != (before.End, before.Work, before.Warning, before.Offered, before.PinsMoved);
    }
}
