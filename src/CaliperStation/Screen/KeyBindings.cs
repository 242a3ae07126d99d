using CaliperStation.Core.Bench;
namespace CaliperStation.Screen;

/// <summary>What the keys mean: actions and typed text in, bench inputs out. Knows no terminal.</summary>
internal sealed class KeyBindings
{
    /// <summary>The typed entry.</summary>
    public EntryLine Entry { get; } = new();

    /// <summary>True while there is something to set aside, so that a reason is wanted; else the sitting says why not.</summary>
    public bool CanSetAside { get; set; } = true;

    /// <summary>True when the bench itself offers the usual reasons, one after the other.</summary>
    public bool OffersReasons { get; set; }

    /// <summary>Text typed or pasted.</summary>
    public void Type(string text) => Entry.Insert(text);

    /// <summary>Does what an action asks of the entry, and returns what is to be told to the sitting, or null.</summary>
    public BenchInput? Do(BenchAction action)
    {
        switch (action)
        {
            case BenchAction.Enter:
                return Entry.Submit();
            case BenchAction.Space when Entry.Text.Length > 0 || Entry.IsReason:
                Entry.Insert(" ");
                return null;
            case BenchAction.Press or BenchAction.NotSo when Entry.IsReason:
                return null;
            case BenchAction.NotSo:
                Entry.Clear();
                return new BenchInput.NotSo();
            case BenchAction.Space:
            case BenchAction.Press:
                Entry.Clear();
                return new BenchInput.Press(PressOrigin.Person);
            case BenchAction.Moved:
                Entry.Clear();
                return new BenchInput.Says(new Answer.Moved([]));
            case BenchAction.Yes:
                Entry.Clear();
                return new BenchInput.Says(new Answer.Yes());
            case BenchAction.Stop:
                return new BenchInput.Says(new Answer.Stop());
            case BenchAction.Aside when !CanSetAside || OffersReasons:
                return new BenchInput.Says(new Answer.Aside(""));
            case BenchAction.Aside:
                Entry.AskReason();
                return null;
            default:
                Edit(action);
                return null;
        }
    }

    private void Edit(BenchAction action)
    {
        Action edit = action switch
        {
            BenchAction.Clear => Entry.Clear,
            BenchAction.Backspace => Entry.Backspace,
            BenchAction.Delete => Entry.Delete,
            BenchAction.Left => Entry.MoveLeft,
            BenchAction.Right => Entry.MoveRight,
            BenchAction.Home => Entry.MoveHome,
            BenchAction.End => Entry.MoveEnd,
            _ => throw new ArgumentOutOfRangeException(nameof(action)),
        };
        edit();
    }
}
