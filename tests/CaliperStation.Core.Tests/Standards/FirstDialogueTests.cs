using CaliperStation.Core.Standards;
using CsCheck;

namespace CaliperStation.Core.Tests.Standards;

public class FirstDialogueTests
{
    private static FirstDialogue After(params string[] answers)
    {
        FirstDialogue dialogue = FirstDialogue.Begin("first.toml", isThere: false);
        foreach (string answer in answers)
        {
            (dialogue, string? refusal) = dialogue.Take(answer);
            Assert.Null(refusal);
        }

        return dialogue;
    }

    [Fact]
    public void Nothing_but_the_usual_answers_makes_a_standard_that_a_review_finds_nothing_in()
    {
        FirstDialogue dialogue = After("", "", "", "", "", "", "", "");

        Assert.Equal((FirstEnd.Write, null), (dialogue.End, dialogue.Question));
        Assert.Equal(["ribbon rack", "nameplate"], dialogue.Worn.Select(one => one.Thing.Name));
        Assert.Empty(StandardReview.Of(StandardFiles.Loaded(dialogue.Text())));
    }

    [Theory]
    [InlineData(0, "a\u0007b")]
    [InlineData(1, "feet")]
    [InlineData(2, "wide")]
    [InlineData(2, "1/100000 in")]   // finer than a caliper shows: the file would be refused
    [InlineData(3, "1 1")]
    [InlineData(3, "8")]
    [InlineData(4, "the top of the pocket")]
    [InlineData(4, "badge")]         // not worn
    [InlineData(5, "0")]
    public void What_is_refused_leaves_the_question_as_it_was(int usual, string answer)
    {
        FirstDialogue before = After([.. Enumerable.Repeat("", usual)]);

        (FirstDialogue next, string? refusal) = before.Take(answer);

        Assert.NotNull(refusal);
        Assert.Equal((before.Question!.Ask, before.Worn.Count), (next.Question!.Ask, next.Worn.Count));
        Assert.Equal(refusal, next.Take(answer).Refusal);
    }

    [Fact]
    public void A_place_of_ones_own_is_said_twice()
    {
        FirstDialogue asked = After("", "", "", "1");

        (FirstDialogue doubted, string? refusal) = asked.Take("breast pocket");

        Assert.NotNull(refusal);
        Assert.Null(doubted.Take("breast pocket").Refusal);
        Assert.NotNull(doubted.Take("brest pocket").Refusal);
    }

    [Fact]
    public void Back_takes_answer_after_answer_back_until_the_first_question()
    {
        FirstDialogue dialogue = After("Tide Mill", "mm", "0.8", "1 2", "", "3");
        string[] taken = ["3", "left pocket", "1 2", "0.8", "mm", "Tide Mill"];
        foreach (string answer in taken)
        {
            Assert.Equal(answer, dialogue.Last);
            dialogue = dialogue.Back();
        }

        Assert.Equal((FirstAsk.Name, false), (dialogue.Question!.About, dialogue.IsBegun));
        Assert.Same(dialogue, dialogue.Back());
        Assert.NotNull(dialogue.Take(FirstDialogue.BackWord).Refusal);
    }

    [Fact]
    public void Left_before_anything_was_answered_it_ends_at_once() => Assert.Equal(FirstEnd.Left, After().Leave().End);

    [Theory]
    [InlineData("keep", FirstEnd.Write)]
    [InlineData("", FirstEnd.Write)]
    [InlineData("drop", FirstEnd.Left)]
    [InlineData("go on", FirstEnd.Open)]
    [InlineData("back", FirstEnd.Open)]
    public void Left_with_something_placed_it_asks_whether_to_keep_it(string answer, FirstEnd end)
    {
        FirstDialogue leaving = After("", "", "", "1 2 3", "", "", "stop");

        FirstDialogue next = leaving.Take(answer).Next;

        Assert.Equal((FirstEnd.Open, end), (leaving.End, next.End));
        Assert.Equal(end == FirstEnd.Open ? FirstAsk.Place : null, next.Question?.About);
        Assert.Single(next.Worn);   // the badge is next
        Assert.Single(StandardFiles.Loaded(next.Text()).Items);
    }

    [Fact]
    public void Left_with_nothing_placed_it_keeps_nothing()
    {
        FirstDialogue leaving = After("", "", "stop");

        Assert.NotNull(leaving.Take("keep").Refusal);
        Assert.Equal(FirstEnd.Left, leaving.Take("").Next.End);
    }

    [Theory]
    [InlineData("", FirstEnd.Kept, null)]
    [InlineData("no", FirstEnd.Kept, null)]
    [InlineData("yes", FirstEnd.Open, true)]
    public void A_file_that_is_there_is_asked_about_first(string answer, FirstEnd end, bool? mayReplace)
    {
        FirstDialogue next = FirstDialogue.Begin("first.toml", isThere: true).Take(answer).Next;

        Assert.Equal((end, mayReplace), (next.End, next.MayReplace));
    }

    [Fact]
    public void The_drawing_has_what_is_placed_and_what_is_asked_about()
    {
        Assert.Null(After("", "", "", "1 3").Drawn());
        Assert.Equal((1, "ribbon rack"), (After("", "", "", "1 3", "").Drawn()!.Value.Coat.Items.Count, After("", "", "", "1 3", "").Drawn()!.Value.Asked!.Name));
        Assert.Equal((1, null), (After("", "", "", "1 3", "", "").Drawn()!.Value.Coat.Items.Count, After("", "", "", "1 3", "", "").Drawn()!.Value.Asked));
        Assert.Equal(2, After("", "", "", "1 3", "", "", "").Drawn()!.Value.Coat.Items.Count);
    }

    // Whatever is answered, in whatever order, what is written loads and no rule of it contradicts another.
    [Fact]
    public void However_it_is_answered_what_is_written_checks_clean()
    {
        string[] answers = ["", "", "", "", "", "", "back", "stop", "keep", "go on", "in", "mm", "t", "1/8", "4", "24 in", "500", "1 2 3 4 5 6 7", "2", "left pocket", "ribbon rack", "left collar corner", "breast pocket", "no", "yes"];
        Gen.Select(Gen.Bool, Gen.Int[0, answers.Length - 1].Array[40]).Sample(
            (isThere, given) =>
            {
                FirstDialogue dialogue = FirstDialogue.Begin("f", isThere);
                foreach (int answer in given)
                {
                    dialogue = dialogue.Take(answers[answer]).Next;
                }

                Assert.Equal(dialogue.End == FirstEnd.Open, dialogue.Question is not null);
                if (dialogue.End == FirstEnd.Write)
                {
                    Assert.True(dialogue.MayReplace == isThere);
                    Assert.All(StandardReview.Of(StandardFiles.Loaded(dialogue.Text())), finding => Assert.True(finding.IsWarning, finding.Fault.Message));
                }
            },
            iter: 30);
    }
}
