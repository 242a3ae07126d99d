using System.Text;
using CaliperStation.Core.Wire;

namespace CaliperStation.Core.Tests.Wire;

/// <summary>Keeps every event with its bytes as text.</summary>
internal sealed class CollectingSink : IFrameSink
{
    public List<(FrameEvent Event, string Raw)> Taken { get; } = [];

    public IEnumerable<FrameEvent> Values => Taken.Select(one => one.Event).Where(one => one.Kind == FrameEventKind.Value);

    public IEnumerable<FrameEventKind> Kinds => Taken.Select(one => one.Event.Kind);

    public void Receive(in FrameEvent frameEvent, ReadOnlySpan<byte> raw) => Taken.Add((frameEvent, Encoding.Latin1.GetString(raw)));

    public static CollectingSink Of(IFrameDecoder decoder, string text)
    {
        CollectingSink sink = new();
        decoder.Feed(Encoding.Latin1.GetBytes(text), sink);
        return sink;
    }
}
