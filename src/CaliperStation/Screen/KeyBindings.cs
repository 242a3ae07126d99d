using CaliperStation.Core.Bench;
namespace CaliperStation.Screen;

/// <summary>What the keys mean: actions in, bench inputs out.</summary>
internal sealed class KeyBindings
{
    /// <summary>The typed entry.</summary>
    public EntryField Entry { get; } = new();

    /// <summary>True while there is something to set aside, so that a reason is wanted; else the sitting says why not.</summary>
    public bool CanSetAside { get; set; } = true;

    /// <summary>True when the bench itself offers the usual reasons, one after the other.</summary>
    public bool OffersReasons { get; set; }

    /// <summary>Does what an action asks of the entry, and returns what is to be told to the sitting, or null.</summary>
    public BenchInput? Do(BenchAction action)
    {
        switch (action)
        {
            case BenchAction.Enter:
                return Entry.Submit();
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
            case BenchAction.Clear:
                Entry.Clear();
                return null;
            default:
                throw new ArgumentOutOfRangeException(nameof(action));
        }
    }
}
