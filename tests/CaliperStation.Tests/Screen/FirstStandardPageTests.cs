using CaliperStation.Core.Standards;
using CaliperStation.Screen;
using Terminal.Gui.Input;

namespace CaliperStation.Tests.Screen;

/// <summary>The page of a first standard with the kit's own views, without a terminal.</summary>
[Collection(KitCollection.Name)]
public sealed class FirstStandardPageTests : IDisposable
{
    private readonly OnKit<FirstStandardPage> _kit;
    private bool _ended;

    public FirstStandardPageTests() => _kit = new(BenchColours.None, () => new FirstStandardPage(FirstDialogue.Begin("first.toml", isThere: false), BenchColours.None, () => _ended = true));

    public void Dispose() => _kit.Dispose();

    private static Key[] Typed(string text) => [.. text.Select(character => new Key(character)), Key.Enter];

    public static TheoryData<string, int, int> Screens
    {
        get
        {
            TheoryData<string, int, int> screens = [];
            foreach (string name in (string[])["name", "worn", "place", "distance", "refused", "leaving"])
            {
                screens.Add(name, 80, 24);
                screens.Add(name, 40, 10);
            }

            return screens;
        }
    }

    [Theory]
    [MemberData(nameof(Screens))]
    public void A_question_looks_as_it_was_approved(string name, int width, int height)
    {
        Key[] worn = [Key.Enter, Key.Enter, Key.Enter], placed = [.. worn, Key.Enter, Key.Enter, Key.Enter];
        _kit.Press(name switch
        {
            "name" => [],
            "worn" => [.. worn, Key.CursorDown, Key.Space],
            "place" => placed,
            "distance" => [.. placed, Key.Enter],
            "refused" => [.. placed, .. Typed("left hip")],
            _ => [.. placed, Key.Q.WithCtrl],
        });
        _kit.Size(width, height);

        Golden.Matches($"first-standard-{name}-{width}x{height}", _kit.Screen);
    }

    [Fact]
    public void All_of_the_questions_are_answered_by_enter_alone()
    {
        _kit.Press(Key.Enter, Key.Enter, Key.Enter, Key.Enter, Key.Enter, Key.Enter, Key.Enter);
        Assert.False(_ended);
        _kit.Press(Key.Enter);
        Assert.Equal((true, FirstEnd.Write, 2), (_ended, _kit.Page.Dialogue.End, _kit.Page.Dialogue.Worn.Count));
    }

    [Fact]
    public void Escape_goes_one_question_back_with_the_answer_that_was_given()
    {
        _kit.Press([.. Typed("Tide Mill"), Key.CursorDown, Key.Enter, Key.Esc, Key.Esc]);
        Assert.Equal(FirstAsk.Name, _kit.Page.Dialogue.Question!.About);
        _kit.Press([.. Typed("s"), Key.Enter]);
        Assert.Equal(("Tide Mills", "in"), (_kit.Page.Dialogue.Name, _kit.Page.Dialogue.Unit));
    }

    [Fact]
    public void What_is_marked_in_the_list_is_what_is_worn_and_nothing_marked_is_refused()
    {
        _kit.Press(Key.Enter, Key.Enter, Key.Enter, Key.Space, Key.CursorDown, Key.CursorDown, Key.Space, Key.Enter);
        Assert.Null(_kit.Page.Dialogue.Chosen);
        _kit.Press(Key.CursorUp, Key.Space, Key.Enter);
        Assert.Equal(["badge"], _kit.Page.Dialogue.Chosen!.Select(thing => thing.Name));
    }

    [Fact]
    public void The_list_and_the_typed_numbers_give_the_same_answer()
    {
        _kit.Press([Key.Enter, Key.Enter, Key.Enter, .. Typed("2 4")]);
        Assert.Equal(["badge", "left collar device"], _kit.Page.Dialogue.Chosen!.Select(thing => thing.Name));
    }

    [Fact]
    public void Leaving_asks_once_and_a_second_time_takes_the_usual_answer()
    {
        _kit.Press(Key.Enter, Key.C.WithCtrl);
        Assert.False(_ended);
        _kit.Press(Key.Esc);
        Assert.Equal(FirstAsk.Unit, _kit.Page.Dialogue.Question!.About);
        _kit.Press(Key.C.WithCtrl, Key.C.WithCtrl);
        Assert.Equal((true, FirstEnd.Left), (_ended, _kit.Page.Dialogue.End));
    }
}
