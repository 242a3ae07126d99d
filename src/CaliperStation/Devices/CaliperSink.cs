using CaliperStation.Core.Quantities;
using CaliperStation.Core.Readings;
using CaliperStation.Core.Wire;

namespace CaliperStation.Devices;

/// <summary>One opening of a line: turns what came, and what a decoder found in it, into the events that the bench gets. One thread uses it.</summary>
/// <param name="post">The bench.</param>
/// <param name="bareUnit">The unit of a frame that names none.</param>
/// <param name="source">What its readings are filed under.</param>
/// <param name="time">The bench's time.</param>
internal sealed class CaliperSink(Action<CaliperEvent> post, LengthUnit bareUnit, ReadingSource source, TimeProvider time) : IFrameSink
{
    private readonly LineDiagnostics _diagnostics = new();
    private TimeSpan _arrived;
    private DateTimeOffset _at;
    private LineOpinion? _told;

    /// <summary>Bytes were just read and are about to be decoded.</summary>
    internal void Heard(ReadOnlySpan<byte> bytes, TimeSpan sinceOpen)
    {
        (_arrived, _at) = Moment(time);
        _diagnostics.Take(bytes, sinceOpen);
    }

    /// <inheritdoc />
    public void Receive(in FrameEvent frameEvent, ReadOnlySpan<byte> raw)
    {
        switch (frameEvent.Kind)
        {
            case FrameEventKind.Value:
                _diagnostics.TakeValue();
                Reading reading = new(frameEvent.Value, frameEvent.Unit ?? bareUnit, frameEvent.Resolution, source, _at, PrintableText.Escape(raw));
                post(new CaliperEvent.Value(reading with { Arrived = _arrived }));
                break;
            case FrameEventKind.Refused or FrameEventKind.DeviceError:
                string words = frameEvent.Why ?? "it is no reading";
                _diagnostics.TakeRefused(frameEvent.Reason, words);
                post(new CaliperEvent.Refused(frameEvent.Reason, words, PrintableText.Escape(raw)));
                break;
            case FrameEventKind.Press:
                post(new CaliperEvent.Press());
                break;
            case FrameEventKind.Noted:
                if (NoteOf(frameEvent.Reason) is { } note)
                {
                    post(new CaliperEvent.Noted(note, frameEvent.Why ?? ""));
                }

                break;
            case FrameEventKind.Ignored:
                break;
        }
    }

    /// <summary>Tells what seems wrong with the line when the opinion has changed.</summary>
    /// <param name="sinceOpen">How long the line has been open.</param>
    /// <param name="isAsked">True for a caliper that speaks only when asked: its silence says nothing.</param>
    internal void Diagnose(TimeSpan sinceOpen, bool isAsked = false) => Tell(_diagnostics.Opinion(sinceOpen, isAsked));

    /// <summary>Nobody listened for a while: what was sent meanwhile was dropped.</summary>
    internal void Paused(TimeSpan pause) =>
        post(new CaliperEvent.Noted(NoteKind.Paused, FormattableString.Invariant($"the station did not listen for {pause.TotalSeconds:0.0} s: what the caliper sent meanwhile does not count")));

    /// <summary>The line was lost: nothing more is wrong with it.</summary>
    internal void Forget() => Tell(null);

    /// <summary>Now: on the clock that only goes forward, and in UTC, whole milliseconds as records keep them.</summary>
    internal static (TimeSpan Arrived, DateTimeOffset At) Moment(TimeProvider time) =>
        (time.GetElapsedTime(0), Instants.Now(time));

    private void Tell(LineOpinion? opinion)
    {
        if (opinion?.Kind == _told?.Kind)
        {
            return;
        }

        _told = opinion;
        post(new CaliperEvent.Diagnosed(opinion?.Kind, opinion?.Words));
    }

    private static NoteKind? NoteOf(FrameReason reason) => reason switch
    {
        FrameReason.LinesLost => NoteKind.LinesLost,
        FrameReason.LineRepeated => NoteKind.LineRepeated,
        FrameReason.BridgeRestarted => NoteKind.BridgeRestarted,
        FrameReason.CellLow => NoteKind.CellLow,
        FrameReason.None or FrameReason.Garbled or FrameReason.NoUnit or FrameReason.NoPoint or FrameReason.Range or FrameReason.Device => null,
    };
}
