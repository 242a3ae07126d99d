using CaliperStation.Core.Standards;
using CaliperStation.Screen;
using Terminal.Gui.App;
using Terminal.Gui.Drivers;
using Terminal.Gui.Input;
using Terminal.Gui.Testing;

namespace CaliperStation.Tests.Screen;

/// <summary>The page of a first standard with the kit's own views, without a terminal.</summary>
[Collection(KitCollection.Name)]
public sealed class FirstStandardPageTests : IDisposable
{
    private readonly IApplication _app;
    private readonly FirstStandardPage _page;
    private readonly SessionToken _token;
    private bool _ended;

    public FirstStandardPageTests()
    {
        BenchScreen.Prepare(BenchColours.None);
        _app = Application.Create();
        _app.Init(DriverRegistry.Names.ANSI);
        _page = new FirstStandardPage(FirstDialogue.Begin("first.toml", isThere: false), BenchColours.None, () => _ended = true);
        _token = _app.Begin(_page)!;
        At(80, 24);
    }

    public void Dispose()
    {
        _app.End(_token);
        _page.Dispose();
        _app.Dispose();
    }

    private void At(int width, int height)
    {
        _app.Driver!.SetScreenSize(width, height);
        _app.LayoutAndDraw(true);
    }

    private void Press(params Key[] keys)
    {
        foreach (Key key in keys)
        {
            _app.InjectKey(key);
            _app.LayoutAndDraw();
        }
    }

    private string Screen => string.Join('\n', _app.Driver!.ToString()!.Split('\n').Select(row => row.TrimEnd())) + "\n";

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
        Press(name switch
        {
            "name" => [],
            "worn" => [.. worn, Key.CursorDown, Key.Space],
            "place" => placed,
            "distance" => [.. placed, Key.Enter],
            "refused" => [.. placed, .. Typed("left hip")],
            _ => [.. placed, Key.Q.WithCtrl],
        });
        At(width, height);

        Golden.Matches($"first-standard-{name}-{width}x{height}", Screen);
    }

    [Fact]
    public void All_of_the_questions_are_answered_by_enter_alone()
    {
        Press(Key.Enter, Key.Enter, Key.Enter, Key.Enter, Key.Enter, Key.Enter, Key.Enter);
        Assert.False(_ended);
        Press(Key.Enter);
        Assert.Equal((true, FirstEnd.Write, 2), (_ended, _page.Dialogue.End, _page.Dialogue.Worn.Count));
    }

    [Fact]
    public void Escape_goes_one_question_back_with_the_answer_that_was_given()
    {
        Press([.. Typed("Tide Mill"), Key.CursorDown, Key.Enter, Key.Esc, Key.Esc]);
        Assert.Equal(FirstAsk.Name, _page.Dialogue.Question!.About);
        Press([.. Typed("s"), Key.Enter]);
        Assert.Equal(("Tide Mills", "in"), (_page.Dialogue.Name, _page.Dialogue.Unit));
    }

    [Fact]
    public void What_is_marked_in_the_list_is_what_is_worn_and_nothing_marked_is_refused()
    {
        Press(Key.Enter, Key.Enter, Key.Enter, Key.Space, Key.CursorDown, Key.CursorDown, Key.Space, Key.Enter);
        Assert.Null(_page.Dialogue.Chosen);
        Press(Key.CursorUp, Key.Space, Key.Enter);
        Assert.Equal(["badge"], _page.Dialogue.Chosen!.Select(thing => thing.Name));
    }

    [Fact]
    public void The_list_and_the_typed_numbers_give_the_same_answer()
    {
        Press([Key.Enter, Key.Enter, Key.Enter, .. Typed("2 4")]);
        Assert.Equal(["badge", "left collar device"], _page.Dialogue.Chosen!.Select(thing => thing.Name));
    }

    [Fact]
    public void Leaving_asks_once_and_a_second_time_takes_the_usual_answer()
    {
        Press(Key.Enter, Key.C.WithCtrl);
        Assert.False(_ended);
        Press(Key.Esc);
        Assert.Equal(FirstAsk.Unit, _page.Dialogue.Question!.About);
        Press(Key.C.WithCtrl, Key.C.WithCtrl);
        Assert.Equal((true, FirstEnd.Left), (_ended, _page.Dialogue.End));
    }
}
