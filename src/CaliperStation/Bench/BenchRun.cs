using System.Threading.Channels;
using CaliperStation.Core.Bench;
using CaliperStation.Core.Correcting;
using CaliperStation.Core.Sittings;
using CaliperStation.Core.Standards;
using CaliperStation.Devices;
using CaliperStation.Files;
using CaliperStation.Storage;

namespace CaliperStation.Bench;

/// <summary>Where the bench tells: lines or a screen. Called from the bench's loop alone.</summary>
internal interface IBenchOutput
{
    /// <summary>Tells it.</summary>
    void Say(Said said);

    /// <summary>Makes the sound.</summary>
    void Ring(Sound sound);

    /// <summary>Shows the bench as it stands.</summary>
    void Show(BenchState state, TimeSpan now);
}

/// <summary>Performs what the pure bench decides: one channel in, one loop, one writer.</summary>
internal sealed class BenchRun
{
    private readonly Channel<BenchInput> _inputs = Channel.CreateUnbounded<BenchInput>(new UnboundedChannelOptions { SingleReader = true });
    private readonly IJournal _journal;
    private readonly Func<Work, BenchInput.Filed> _file;
    private readonly TimeProvider _clock;
    private readonly Work _begun;
    private readonly BenchStep _first;
    private readonly ICaliper? _caliper;

    /// <param name="work">What is worked on.</param>
    /// <param name="setup">How the bench is set.</param>
    /// <param name="caliper">The caliper, or null for none.</param>
    /// <param name="isAsked">True when the caliper is asked for each value.</param>
    /// <param name="journal">Where events go.</param>
    /// <param name="file">Files the signed work at the end of the station's chain; the same work twice is one record.</param>
    /// <param name="clock">The bench's time.</param>
    internal BenchRun(Work work, BenchSetup setup, ICaliper? caliper, bool isAsked, IJournal journal, Func<Work, BenchInput.Filed> file, TimeProvider clock)
    {
        (_begun, _caliper, _journal, _file, _clock) = (work, caliper, journal, file, clock);
        LiveCaliper live = caliper is null ? new LiveCaliper() : new LiveCaliper { Name = caliper.Name, Source = caliper.Source, IsAsked = isAsked };
        _first = BenchEngine.Begin(work, live, setup, Now);
        State = _first.State;
    }

    /// <summary>Told each step that is to be read: a pretended caliper goes to its gap.</summary>
    internal Action<Step> Guide { get; init; } = _ => { };

    /// <summary>Told each move that was advised and made: a pretended blouse follows.</summary>
    internal Action<ItemMove> Moved { get; init; } = _ => { };

    /// <summary>Lines that a person or a script writes; null for a screen.</summary>
    internal LineReader? Lines { get; init; }

    /// <summary>As things stand; for others than the loop only before and after <see cref="RunAsync"/>.</summary>
    internal BenchState State { get; private set; }

    /// <summary>The exit code as things stand.</summary>
    internal int Result => (State.End ?? State.Closed?.End) switch
    {
        BenchEnd.Good => ExitCode.Good,
        BenchEnd.NotGood or BenchEnd.Abandoned => ExitCode.NotWithin,
        _ => ExitCode.Interrupted,
    };

    /// <summary>The present moment as the bench counts it.</summary>
    internal Moment Now => new(_clock.GetElapsedTime(0), Instants.Now(_clock));

    /// <summary>Something the caliper or the person did; from any thread, never blocks.</summary>
    internal void Post(BenchInput input) => _inputs.Writer.TryWrite(input);

    /// <summary>Works until the bench is left or <paramref name="stop"/>.</summary>
    internal async Task<int> RunAsync(IBenchOutput output, CancellationToken stop)
    {
        using CancellationTokenSource leave = CancellationTokenSource.CreateLinkedTokenSource(stop);
        Perform(_first, _first.State with { Work = _begun }, output);
        Task listening = _caliper?.RunAsync(seen => Post(new BenchInput.Caliper(seen)), leave.Token) ?? Task.CompletedTask;
        while (State.End is null && !stop.IsCancellationRequested)
        {
            if (Next() is { } input)
            {
                Do(input, output);
                continue;
            }

            await WaitAsync(stop).ConfigureAwait(false);
            Do(new BenchInput.Tick(), output);
        }

        await leave.CancelAsync().ConfigureAwait(false);
        await listening.ConfigureAwait(ConfigureAwaitOptions.SuppressThrowing);
        if (listening.Exception is { } failure)
        {
            Log.Fault(failure);   // the bench was told at once
        }

        return Result;
    }

    /// <summary>What happened next: the caliper and the keys first; a line only when the one before is answered.</summary>
    private BenchInput? Next()
    {
        if (_inputs.Reader.TryRead(out BenchInput? input))
        {
            return input;
        }

        return State.IsBusy || Lines is null ? null
            : State.Closed is not null ? new BenchInput.Says(new Answer.Stop())   // lines end with the record; a screen is left by a press
            : Lines.TryRead();
    }

    private async Task WaitAsync(CancellationToken stop)
    {
        using CancellationTokenSource over = CancellationTokenSource.CreateLinkedTokenSource(stop);
        Task happened = _inputs.Reader.WaitToReadAsync(over.Token).AsTask();
        Task line = State.IsBusy || Lines is null ? happened : Lines.WaitAsync(over.Token);
        await Task.WhenAny(happened, line, Task.Delay(BenchEngine.Rest(State), _clock, over.Token)).ConfigureAwait(false);
        await over.CancelAsync().ConfigureAwait(false);
    }

    private void Do(BenchInput input, IBenchOutput output)
    {
        BenchState before = State;
        BenchStep step = BenchEngine.Step(before, input, Now);
        State = step.State;
        Perform(step, before, output);
        output.Show(State, Now.Since);
    }

    private void Perform(BenchStep step, BenchState before, IBenchOutput output)
    {
        List<SittingEvent> written = [];
        foreach (BenchEffect effect in step.Effects)
        {
            switch (effect)
            {
                case BenchEffect.Append append:
                    try
                    {
                        _journal.Append(append.Event.At, append.Sitting, SittingEventJson.Kind(append.Event), SittingEventJson.Body(append.Event));
                        written.Add(append.Event);
                        foreach (ItemMove move in append.Event is SittingEvent.Moved { Items: var items } ? before.Advice?.Moves.Where(move => items.Contains(move.Item)) ?? [] : [])
                        {
                            Moved(move);
                        }
                    }
                    catch (StoreException fault)
                    {
                        BenchStep told = BenchEngine.NotWritten(before, step.State, written, fault.Message, Now);
                        State = told.State;
                        Perform(told, told.State, output);
                        return;
                    }

                    break;
                case BenchEffect.Say say:
                    output.Say(say.Said);
                    break;
                case BenchEffect.Ring ring:
                    output.Ring(ring.Sound);
                    break;
                case BenchEffect.Guide guide:
                    Guide(guide.Step);
                    break;
                case BenchEffect.AskCaliper when _caliper?.Request() != true:
                    Post(new BenchInput.NotAsked());
                    break;
                case BenchEffect.File:
                    File();
                    break;
                default:
                    break;
            }
        }
    }

    private void File()
    {
        try
        {
            Post(_file(State.Work));
        }
        catch (StoreException fault)
        {
            Post(new BenchInput.NotFiled(fault.Message));
        }
    }
}
