
namespace CaliperStation.Screen;

/// <summary>Counts exceptions that come out of the kit's loop and says whether to carry on.</summary>
/// <remarks>
/// A single one is a key sequence the kit cannot read, and the next key works; many in one second are a loop that will never
/// draw again, and the bench is better closed, with everything already on record.
/// </remarks>
internal sealed class KitFaults(TimeProvider clock)
{
    /// <summary>More than this many in <see cref="Span"/> end the screen: more than a person can press keys.</summary>
    public const int Most = 20;

    /// <summary>The time they are counted over.</summary>
    public static readonly TimeSpan Span = TimeSpan.FromSeconds(1);

    private readonly Queue<long> _recent = new();

    /// <summary>All of them.</summary>
    public int Count { get; private set; }

    /// <summary>True to carry on.</summary>
    public bool MayGoOn(Exception fault)
    {
        Count++;
        _recent.Enqueue(clock.GetTimestamp());
        while (clock.GetElapsedTime(_recent.Peek()) > Span)
        {
            _recent.Dequeue();
        }

        return _recent.Count <= Most;
    }
}
