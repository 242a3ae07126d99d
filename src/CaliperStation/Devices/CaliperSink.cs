using CaliperStation.Core.Frames;
using CaliperStation.Core.Quantities;

namespace CaliperStation.Devices;

/// <summary>Turns what a decoder found into what the bench is told.</summary>
/// <param name="post">The bench.</param>
/// <param name="bareUnit">The unit of a frame that names none.</param>
internal sealed class CaliperSink(Action<CaliperEvent> post, LengthUnit bareUnit) : IFrameSink
{
    /// <summary>When the bytes being decoded were read, of <see cref="TimeProvider.GetTimestamp"/>.</summary>
    internal long Timestamp { get; set; }

    public void Take(in FrameEvent frameEvent, ReadOnlySpan<byte> raw)
    {
        if (NoteOf(frameEvent.Why) is { } note)
        {
            post(new CaliperEvent.Noted(note, frameEvent.Why!));
            return;
        }

        switch (frameEvent.Kind)
        {
            case FrameEventKind.Value:
                post(new CaliperEvent.Value(
                    frameEvent.Value, frameEvent.Unit ?? bareUnit, frameEvent.Resolution, PrintableText.Escape(raw), Timestamp));
                break;
            case FrameEventKind.Refused or FrameEventKind.DeviceError:
                post(new CaliperEvent.Refused(frameEvent.Why ?? "it is no reading", PrintableText.Escape(raw)));
                break;
            case FrameEventKind.Press:
                post(new CaliperEvent.Press(frameEvent.Why ?? "a press"));
                break;
            case FrameEventKind.Ignored:
                break;
        }
    }

    private static NoteKind? NoteOf(string? why) => why switch
    {
        BridgeLineDecoder.Lost => NoteKind.LinesLost,
        BridgeLineDecoder.Repeated => NoteKind.LineRepeated,
        BridgeLineDecoder.Restarted => NoteKind.BridgeRestarted,
        BridgeLineDecoder.LowPower => NoteKind.CellLow,
        _ => null,
    };
}
