using System.Collections.Concurrent;
using System.Runtime.CompilerServices;
using Terminal.Gui.App;
using Terminal.Gui.Drivers;

namespace CaliperStation.Screen;

/// <summary>The kit's keyboard, looked at from the thread that reads it alone, which tells the screen when keys came.</summary>
/// <remarks>
/// Of itself the kit looks each 20 ms by a timer, a pool thread and a waiting thread: three quarters of what a still bench cost. Twenty milliseconds
/// are also too coarse for the times between the keys of a caliper that types, of which some come that far apart. The kit has no public way to be given another keyboard, so its
/// own constructor for one is called by name; a test tells when a newer kit has it no more.
/// </remarks>
internal sealed class WatchedKeys(PaceKeeper pace) : AnsiInput, IInput<char>
{
    private static readonly TimeSpan LookAgain = TimeSpan.FromMilliseconds(20);

    private ConcurrentQueue<char>? _keys;

    /// <summary>The kit with this keyboard.</summary>
    public static IApplication Kit(PaceKeeper pace) => (IApplication)Make(new AnsiComponentFactory(new WatchedKeys(pace), null, null));

    [UnsafeAccessor(UnsafeAccessorKind.Constructor)]
    [return: UnsafeAccessorType("Terminal.Gui.App.ApplicationImpl, Terminal.Gui")]
    private static extern object Make(IComponentFactory factory);

    void IInput<char>.Initialize(ConcurrentQueue<char> inputQueue)
    {
        _keys = inputQueue;
        Initialize(inputQueue);
    }

    void IInput<char>.Run(CancellationToken runCancellationToken)
    {
        WaitHandle ended = runCancellationToken.WaitHandle;
        do
        {
            bool came = false;
            while (Peek())
            {
                foreach (char key in Read())
                {
                    _keys!.Enqueue(key);
                    came = true;
                }
            }

            if (came)
            {
                pace.Wake();
            }
        }
        while (!ended.WaitOne(pace.Longest < LookAgain ? pace.Longest : LookAgain));
    }
}
