using System.Threading.Channels;
using CaliperStation.Bench;
using CaliperStation.Core.Correcting;
using CaliperStation.Core.Judging;
using CaliperStation.Core.Quantities;
using CaliperStation.Core.Readings;
using CaliperStation.Core.Sittings;
using CaliperStation.Core.Standards;
using CaliperStation.Storage;

namespace CaliperStation.Running;

/// <summary>
/// Ties caliper, sitting, store and screen together: one task takes what happens in the order it happened, and nothing
/// else touches the sitting. An event is on the disk before the model that shows it is posted.
/// </summary>
internal sealed partial class BenchLoop
{
    private static readonly TimeSpan LookAgain = TimeSpan.FromMilliseconds(250);   // a value that grew too old leaves the screen

    private readonly SittingSession _session;
    private readonly LiveCaliper _caliper;
    private IBenchFace _face = null!;   // set before the first happening, by RunAsync
    private readonly Func<SittingSession, string> _file;
    private readonly TimeProvider _clock;
    private readonly Action<Step> _guide;
    private readonly Channel<object> _happenings = Channel.CreateUnbounded<object>(new UnboundedChannelOptions { SingleReader = true });
    private readonly Doubts _doubts = new();
    private readonly PressGate _gate = new();
    private readonly Foretold _foretold = new();
    private readonly LengthUnit? _keyboardUnit;
    private string _message;
    private Judgement? _lastVerdict;
    private Advice? _advice;
    private string? _record;
    private (SittingView View, BenchFacts Facts)? _shown;

    /// <param name="session">The sitting.</param>
    /// <param name="caliper">What the caliper shows.</param>
    /// <param name="file">Files the closed sitting and gives the record's id.</param>
    /// <param name="guide">Told each step that is to be read: the emulated caliper goes to its gap.</param>
    /// <param name="clock">The bench's time.</param>
    /// <param name="greeting">What is said first.</param>
    /// <param name="keyboardUnit">The unit of values that a caliper types without one; null for the standard's.</param>
    internal BenchLoop(
        SittingSession session, LiveCaliper caliper, Func<SittingSession, string> file, Action<Step> guide, TimeProvider clock, string greeting,
        LengthUnit? keyboardUnit = null)
    {
        _keyboardUnit = keyboardUnit;
        (_session, _caliper, _file, _guide, _clock, _message) = (session, caliper, file, guide, clock, greeting);
    }

    /// <summary>The smallest move of a pin that a hand can do.</summary>
    internal Length SmallestMove { get; init; } = Length.HalfTick;

    /// <summary>The exit code as things stand.</summary>
    internal int Result => _record is null ? ExitCode.Interrupted : _session.View.IsVerified ? ExitCode.Good : ExitCode.NotWithin;

    /// <summary>The record, once it is filed.</summary>
    internal string? Record => _record;

    /// <summary>Something the caliper or the person did; from any thread, never blocks.</summary>
    internal void Post(object happened) => _happenings.Writer.TryWrite(happened);

    /// <summary>The screen as things stand.</summary>
    internal BenchModel Present() => BenchPresenter.Of(_session.View, Facts());

    /// <summary>Works until the person leaves or <paramref name="stop"/>; then the screen is closed.</summary>
    internal async Task RunAsync(IBenchFace face, CancellationToken stop)
    {
        _face = face;
        _advice = AdviceNow();

        Guide();
        Show();
        using PeriodicTimer timer = new(LookAgain, _clock);
        Task<bool> tick = timer.WaitForNextTickAsync(stop).AsTask();
        try
        {
            while (true)
            {
                Task<bool> more = _happenings.Reader.WaitToReadAsync(stop).AsTask();
                await Task.WhenAny(more, tick).ConfigureAwait(false);
                if (tick.IsCompleted)
                {
                    _ = await tick.ConfigureAwait(false);
                    tick = timer.WaitForNextTickAsync(stop).AsTask();
                    if (_caliper.Unanswered() is { } silence)
                    {
                        _message = silence;
                        Show();
                    }

                    if (_caliper.OwnPress(null, SittingSession.Now(_clock)) is { } pressed)
                    {
                        OwnPress(pressed);
                        Show();
                    }
                    else if (_caliper.BecameOld())
                    {
                        Show();
                    }
                }

                while (_happenings.Reader.TryRead(out object? happened))
                {
                    if (!Take(happened))
                    {
                        return;
                    }
                }
            }
        }
        catch (OperationCanceledException)
        {
            // asked to stop: the sitting is on the disk and can be resumed
        }
        finally
        {
            _face.Close();
        }
    }

    private bool Take(object happened)
    {
        try
        {
            switch (happened)
            {
                case CaliperEvent seen:
                    if (_caliper.Saw(seen) is { } said)
                    {
                        _message = said;
                    }

                    if (seen is CaliperEvent.Press)
                    {
                        Press();
                    }
                    else if (_caliper.Answer(seen, SittingSession.Now(_clock)) is { } answer)
                    {
                        Take(answer, null);
                    }
                    else if (_caliper.OwnPress(seen, SittingSession.Now(_clock)) is { } pressed)
                    {
                        OwnPress(pressed);
                    }

                    break;
                case BenchIntent.Stop:
                    return false;
                case BenchIntent.Press when _record is not null:
                    return false;
                case BenchIntent intent:
                    Do(intent);
                    break;
            }
        }
        catch (StoreException fault)
        {
            _message = $"Not written, so it does not count: {fault.Message}";
            _face.Bell(3);
        }

        Show();
        return true;
    }

    private void Take(Reading? reading, string? refusal)
    {
        if (reading is null)
        {
            _message = refusal ?? "";
        }
        else if (_session.View.Prompt is Prompt.Read read && _doubts.About(_session.State, read.Step, reading, reading.Source != ReadingSource.Keyboard && _caliper.MovedSinceTaken) is { } doubt)
        {
            _message = doubt;
        }
        else
        {
            if (Do(new SittingCommand.Take(reading)))
            {
                _caliper.Taken(reading);
            }
        }
    }

    /// <summary>False when it was refused, with the reason as the message.</summary>
    private bool Do(SittingCommand command)
    {
        Outcome outcome = _session.Do(command);
        if (outcome.Refusal is { } refusal)
        {
            _message = Capital(refusal);
            return false;
        }

        Prompt prompt = _session.View.Prompt;
        _foretold.After(outcome.Events[^1], _advice);
        _advice = AdviceNow();
        if (outcome.Verdicts.MaxBy(judgement => (judgement.Verdict, -judgement.Conformance)) is { } worst)
        {
            _lastVerdict = worst;
            _face.Bell(1 + (int)worst.Verdict);
        }

        _message = outcome.Events[^1] switch
        {
            SittingEvent.Moved moved => $"Moved: {string.Join(", ", moved.Items.Select(_session.State.Plan.Standard.NameOf))}. To be read again: {outcome.Stale.Count}.",
            SittingEvent.Withdrew withdrew => $"Withdrawn: {withdrew.Step.Replace('-', ' ')}.",
            SittingEvent.SetAside aside => $"Set aside: {aside.Relation}. The record will not be verified.",
            SittingEvent.Took took => $"Taken: {took.Step.Replace('-', ' ')} {LengthFormat.Show(took.Reading.Value, _session.State.Plan.Standard.Show)}.",
            SittingEvent.Confirmed => "",
            _ => _message,
        };
        _message += prompt is Prompt.Read { Step.Id: var step } && _foretold.Of(step) is { } should
            ? $" After that move this one should show {LengthFormat.Show(should, _session.State.Plan.Standard.Show)}."
            : "";
        if (outcome.Events[^1] is SittingEvent.Moved or SittingEvent.Withdrew)
        {
            _lastVerdict = null;
        }

        if (prompt is Prompt.Closed)
        {
            _record = _file(_session);
            _message = $"Record {_record}.";
        }

        Guide();
        return true;
    }

    /// <summary>Wanted where something is outside, and for the summary before the signature.</summary>
    private Advice? AdviceNow() => _session.View.Prompt is Prompt.Decide or Prompt.Sign ? BenchAdvice.Of(_session.View, SmallestMove) : null;

    private void Guide()
    {
        if (_session.View.Prompt is Prompt.Read read)
        {
            _guide(read.Step);
        }
    }

    private BenchFacts Facts() => new(
        _caliper.Words, _caliper.IsTrouble, _caliper.Shown(), _caliper.IsSteady(), _caliper.Resolution, _lastVerdict, _message, _advice);

    /// <summary>Nothing is drawn again for a caliper that lies still and sends the same value ten times a second.</summary>
    private void Show()
    {
        (SittingView, BenchFacts) now = (_session.View, Facts());
        if (now != _shown)
        {
            _shown = now;
            _face.Post(BenchPresenter.Of(now.Item1, now.Item2));
        }
    }

    private static string Capital(string text) => text.Length == 0 ? text : char.ToUpperInvariant(text[0]) + text[1..];
}
