using System.Diagnostics;
using System.Runtime.ExceptionServices;
using System.Runtime.InteropServices;
using CaliperStation.Core.Bench;
using Terminal.Gui.App;
using Terminal.Gui.Drivers;
using Terminal.Gui.Input;
using Terminal.Gui.Views;

namespace CaliperStation.Screen;

/// <summary>The terminal while the bench is open: shows models from any thread, tells intents, and gives the terminal back as it was.</summary>
/// <remarks>
/// The kit is guarded where it was seen to need it. Without a terminal it would run on silently: <c>TryOpen</c> refuses.
/// Esc would end it: its quit key is Ctrl-Q. Its <c>Invoke</c> throws before it runs and after it ends: <see cref="OnScreen"/>
/// swallows that. A signal or an exception on any thread would leave the terminal raw: both give it back first. An unknown key
/// sequence (F13, for one) throws inside it: it is told to carry on.
/// </remarks>
internal sealed class BenchScreen : IDisposable
{
    /// <summary>Longest wait for the UI thread while the process dies; several hundred of its turns.</summary>
    private static readonly TimeSpan DyingTime = TimeSpan.FromSeconds(2);
    private static readonly TimeSpan HangUpTime = TimeSpan.FromSeconds(5);

    /// <summary>A reading is drawn within 10 ms, and a still bench costs some 5 % of a core; the default of 25 lets 40 ms go by.</summary>
    private const ushort TurnsPerSecond = 120;

    private readonly IApplication _app;
    private readonly BellRinger _bell;
    private readonly Runnable _window;
    private readonly List<PosixSignalRegistration> _signals = [];
    private readonly KitFaults _faults = new(TimeProvider.System);
    private BenchModel? _newest;
    private Action<BenchInput> _onIntent = _ => { };
    private ExceptionDispatchInfo? _failure;
    private readonly ManualResetEventSlim _givenBack = new();
    private readonly bool _hadTerminal = Driver.IsAttachedToTerminal(out _, out _);
    private int _isDisposed;
    private int _signalCount;
    private volatile bool _isDying;

    // xterm control sequences, DECSET 1000 (presses and releases) and 1006 (in figures, for wide terminals)
    private const string MouseOn = "\e[?1000h\e[?1006h";
    private const string MouseOff = "\e[?1006l\e[?1000l";

    private readonly TerminalMode? _mode;
    private readonly bool _hasMouse;

    private BenchScreen(IApplication app, Func<Action<BenchInput>, Runnable> window, TerminalMode? mode = null, bool hasMouse = false)
    {
        _hasMouse = hasMouse;
        _app = app;
        _mode = mode;
        _bell = new BellRinger(() => app.Driver?.WriteRaw("\a"), Later);
        _window = window(Tell);
        Application.MaximumIterationsPerSecond = TurnsPerSecond;
        AppDomain.CurrentDomain.UnhandledException += GiveBack;
        foreach (PosixSignal signal in (ReadOnlySpan<PosixSignal>)[PosixSignal.SIGINT, PosixSignal.SIGTERM, PosixSignal.SIGHUP, PosixSignal.SIGQUIT])
        {
            _signals.Add(PosixSignalRegistration.Create(signal, StopOnSignal));
        }

        if (mode is not null && !OperatingSystem.IsWindows())
        {
            _signals.Add(PosixSignalRegistration.Create(PosixSignal.SIGTSTP, context =>
            {
                context.Cancel = true;
                OnScreen(Suspend);
            }));
            _signals.Add(PosixSignalRegistration.Create(PosixSignal.SIGCONT, _ => OnScreen(GoOn)));
            app.Keyboard.KeyDown += (_, key) =>
            {
                if (key == Key.Z.WithCtrl)
                {
                    key.Handled = true;
                    OnScreen(Suspend);
                }
            };
        }
    }

    /// <summary>Why <see cref="Run"/> came back.</summary>
    public ScreenEnd EndedBy { get; private set; }

    /// <summary>Columns and rows of the terminal.</summary>
    public (int Width, int Height) Size => _app.Driver is { } driver ? (driver.Cols, driver.Rows) : default;

    /// <summary>Faults inside the kit that were survived, such as unknown key sequences; for the log.</summary>
    public int SurvivedFaults => _faults.Count;

    /// <summary>Opens the screen, or returns null when this is no terminal that a screen can be drawn on.</summary>
    public static BenchScreen? TryOpen(BenchModel first, ScreenSettings settings) =>
        TryOpen((colours, tell) => new BenchWindow(first, colours, tell, settings, TimeProvider.System), settings.Mouse);

    /// <summary>Opens the screen on another page of the kit's views, or returns null when this is no terminal. The page gets its colours and an action that ends the screen.</summary>
    public static BenchScreen? TryOpen(Func<BenchColours, Action, Runnable> page, ScreenSettings settings) =>
        TryOpen((colours, tell) => page(colours, () => tell(new BenchInput.Says(new Answer.Stop()))), settings.Mouse);

    /// <summary>Opens the screen on a window that is told how it looks, and tells what was done on it.</summary>
    private static BenchScreen? TryOpen(Func<BenchColours, Action<BenchInput>, Runnable> window, bool hasMouse)
    {
        if (Environment.GetEnvironmentVariable("TERM") == "dumb" || !Driver.IsAttachedToTerminal(out _, out _))
        {
            return null;
        }

        BenchColours colours = BenchColours.For(Environment.GetEnvironmentVariable("NO_COLOR"), Environment.GetEnvironmentVariable("COLORTERM"));
        Prepare(colours);
        TerminalMode mode = new();
        IApplication app = Application.Create();
        try
        {
            app.Init(DriverRegistry.Names.ANSI);

            // Mouse tracking takes the terminal's own marking and copying of text away: it is on only where it is wanted, and never follows a mere move.
            app.Mouse.IsMouseDisabled = !hasMouse;
            app.Driver?.WriteRaw($"\e[?1003l\e[?1015l\e[?1006l{(hasMouse ? MouseOn : "")}");
            mode.KeepRaw();
            return new BenchScreen(app, tell => window(colours, tell), mode, hasMouse);
        }
        catch
        {
            app.Dispose();
            throw;
        }
    }

    /// <summary>A screen over a kit that was started already; tests start it without a terminal.</summary>
    internal static BenchScreen Over(IApplication app, BenchModel first, BenchColours colours, ScreenSettings? settings = null) =>
        new(app, tell => new BenchWindow(first, colours, tell, settings, TimeProvider.System), hasMouse: settings is { Mouse: true });

    /// <summary>The kit's process-wide settings, before it starts; tests use the same.</summary>
    internal static void Prepare(BenchColours colours)
    {
        Application.DefaultKeyBindings![Command.Quit] = Bind.All(Key.Q.WithCtrl);
        Application.DefaultKeyBindings!.Remove(Command.Suspend);
        Driver.Force16Colors = colours != BenchColours.True;
    }

    /// <summary>Shows a model, from any thread. Of several posted between two drawings only the newest is drawn.</summary>
    public void Post(BenchModel model)
    {
        if (Interlocked.Exchange(ref _newest, model) is null)
        {
            OnScreen(DrawNewest);
        }
    }

    /// <summary>Rings the bell in groups of strokes, from any thread.</summary>
    public void Bell(IReadOnlyList<int> groups) => OnScreen(() => _bell.Ring(groups));

    /// <summary>Ends <see cref="Run"/>, from any thread.</summary>
    public void Close() => OnScreen(() => _app.RequestStop());

    /// <summary>Does something on the screen's thread, from any thread, and draws.</summary>
    public void Do(Action action) => OnScreen(() =>
    {
        action();
        _app.LayoutAndDraw();
    });

    /// <summary>
    /// Shows the screen until a stop key, a signal or <see cref="Close"/>; then the terminal is as it was and lines may be
    /// printed. Intents are told on this thread, a stop as the last one. What the receiver throws comes out of here, after the
    /// terminal was given back.
    /// </summary>
    public void Run(Action<BenchInput> onIntent)
    {
        _onIntent = onIntent;
        try
        {
            _app.Run(_window, _faults.MayGoOn);
        }
        finally
        {
            Dispose();
        }

        if (_isDying)
        {
            // The runtime ends the process now; going on here would only race with its message and exit code.
            Thread.Sleep(DyingTime);
        }

        _failure?.Throw();
    }

    /// <summary>Gives the terminal back; a second call does nothing.</summary>
    public void Dispose()
    {
        if (Interlocked.Exchange(ref _isDisposed, 1) != 0)
        {
            return;
        }

        AppDomain.CurrentDomain.UnhandledException -= GiveBack;
        _signals.ForEach(signal => signal.Dispose());
        _window.Dispose();
        QuietMouse();
        bool isGone = _hadTerminal && !Driver.IsAttachedToTerminal(out _, out _);
        if (!isGone)
        {
            _app.Dispose();
        }

        // Else there is nobody to give it back to, and the kit would wait for its reading thread for ever.
        _givenBack.Set();
    }

    /// <summary>
    /// The process is about to die of an exception on another thread: its text must land on an ordinary terminal. The UI thread
    /// gives it back, for taken away beneath it, it would hide the cursor again; only when it hangs is it done from here.
    /// </summary>
    private void GiveBack(object sender, UnhandledExceptionEventArgs arguments)
    {
        _failure = arguments.ExceptionObject is Exception failure ? ExceptionDispatchInfo.Capture(failure) : _failure;
        _isDying = true;
        Close();
        if (!_givenBack.Wait(DyingTime))
        {
            QuietMouse();
            _app.Dispose();
        }
    }

    private void StopOnSignal(PosixSignalContext context)
    {
        if (Interlocked.Increment(ref _signalCount) > 1)
        {
            // The first one was not heard: the UI thread hangs. Give the terminal back and let the signal have its way.
            QuietMouse();
            _app.Dispose();
            return;
        }

        context.Cancel = true;
        if (context.Signal == PosixSignal.SIGHUP)
        {
            new Thread(EndWithoutTerminal) { IsBackground = true, Name = "hang-up" }.Start();
        }

        OnScreen(() =>
        {
            EndedBy = ScreenEnd.Signal;
            Tell(new BenchInput.Says(new Answer.Stop()));
        });
    }

    /// <summary>
    /// A closed window or a dropped line: the kit can wait for ever on a terminal that is gone, and the store would stay
    /// locked. All that was acknowledged is on the disk, so the process may be ended as hard as by a power cut.
    /// </summary>
    private void EndWithoutTerminal()
    {
        if (!_givenBack.Wait(HangUpTime))
        {
            using Process self = Process.GetCurrentProcess();
            self.Kill();
        }
    }

    /// <summary>Gives the terminal to the shell and stops; <see cref="GoOn"/> follows the signal that continues it.</summary>
    private void Suspend()
    {
        if (TerminalMode.CanStop)
        {
            QuietMouse();
            _app.Driver?.WriteRaw("\e[?2004l\e[0m\e[?1049l\e[?25h");
            _mode?.GiveBack();
            TerminalMode.Stop();
        }
    }

    /// <summary>Takes the terminal again after a stop of any kind, also one that could not be caught, and draws every cell.</summary>
    private void GoOn()
    {
        _mode?.TakeAgain();
        _app.Driver?.WriteRaw($"\e[?1049h\e[?25l\e[?2004h\e[2J{(_hasMouse ? MouseOn : "")}");
        _app.Driver?.ClearContents();
        _window.SetNeedsDraw();
        _app.LayoutAndDraw(true);
    }

    private void QuietMouse()
    {
        if (_hasMouse)
        {
            _app.Driver?.WriteRaw(MouseOff);
        }
    }

    private void DrawNewest()
    {
        if (Interlocked.Exchange(ref _newest, null) is { } model)
        {
            (_window as BenchWindow)?.Show(model);

            // Drawn here and now: the kit draws before it runs callbacks, so its own drawing comes a whole turn later.
            _app.LayoutAndDraw();
        }
    }

    private void Tell(BenchInput intent)
    {
        try
        {
            if (intent is BenchInput.Says { Answer: Answer.Stop })
            {
                EndedBy = EndedBy == ScreenEnd.Signal ? ScreenEnd.Signal : ScreenEnd.StopKey;
                _app.RequestStop();
            }

            _onIntent(intent);
        }
        catch (Exception failure)
        {
            _failure = ExceptionDispatchInfo.Capture(failure);
            _app.RequestStop();
        }
    }

    private void Later(TimeSpan time, Action action) => _app.AddTimeout(time, () =>
    {
        action();
        return false;
    });

    private void OnScreen(Action action)
    {
        try
        {
            _app.Invoke(action);
        }
        catch (NotInitializedException)
        {
            // The screen is gone: there is nothing to show it on, and whoever posts need not know when that happened.
        }
    }
}

/// <summary>Why the screen was left.</summary>
internal enum ScreenEnd
{
    /// <summary>The program closed it.</summary>
    Closed,

    /// <summary>A stop key.</summary>
    StopKey,

    /// <summary>The system asked for the end: SIGINT, SIGTERM, SIGHUP or SIGQUIT.</summary>
    Signal,
}

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

/// <summary>Rings the terminal's bell in groups of strokes, far enough apart to be counted, without holding the UI thread.</summary>
/// <remarks>UI thread only. Of several bells asked for while one rings the newest is rung after it: the others are obsolete.</remarks>
/// <param name="ring">Rings once.</param>
/// <param name="later">Calls back on the UI thread after a time.</param>
internal sealed class BellRinger(Action ring, Action<TimeSpan, Action> later)
{
    /// <summary>Between two strokes of a group: terminals swallow bells that come faster than they can sound.</summary>
    public static readonly TimeSpan Stroke = TimeSpan.FromMilliseconds(180);

    /// <summary>Between two groups.</summary>
    public static readonly TimeSpan Group = TimeSpan.FromMilliseconds(450);

    /// <summary>Between two bells.</summary>
    public static readonly TimeSpan Pause = TimeSpan.FromMilliseconds(900);

    private readonly Queue<TimeSpan> _after = new();   // the pause after each stroke that is still to come
    private IReadOnlyList<int>? _next;
    private bool _rings;

    /// <summary>Rings these groups of strokes; the first stroke at once when nothing rings.</summary>
    public void Ring(IReadOnlyList<int> groups)
    {
        if (_rings)
        {
            _next = groups;
            return;
        }

        foreach (TimeSpan pause in Pauses(groups))
        {
            _after.Enqueue(pause);
        }

        Strike();
    }

    /// <summary>The pause after each stroke of these groups.</summary>
    public static IEnumerable<TimeSpan> Pauses(IReadOnlyList<int> groups) => groups.SelectMany((strokes, group) =>
        Enumerable.Range(1, strokes).Select(stroke => stroke < strokes ? Stroke : group < groups.Count - 1 ? Group : Pause));

    private void Strike()
    {
        if (_after.TryDequeue(out TimeSpan pause))
        {
            _rings = true;
            ring();
            later(pause, Strike);
            return;
        }

        _rings = false;
        if (_next is { } next)
        {
            _next = null;
            Ring(next);
        }
    }
}
