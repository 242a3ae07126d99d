using System.Text;
using CaliperStation.Core.Frames;
using CaliperStation.Core.Quantities;
using CaliperStation.Core.Readings;
using CaliperStation.Devices;
using CaliperStation.Running;
using Microsoft.Extensions.Time.Testing;

namespace CaliperStation.Tests.Running;

public sealed class LiveCaliperTests
{
    private readonly FakeTimeProvider _time = new();
    private readonly LiveCaliper _live;

    public LiveCaliperTests() => _live = new LiveCaliper("bridge", ReadingSource.Serial, _time);

    [Fact]
    public void What_a_bridge_notices_is_told_and_stays_beside_the_name()
    {
        _live.Saw(new CaliperEvent.Opened());
        List<string> told = [];
        CaliperSink sink = new(seen => told.AddRange(_live.Saw(seen) is { } said ? [said] : []), LengthUnit.Millimetre);
        Func<IFrameDecoder> decoders = LineDecoders.For(Settings.Usual with { Fine24 = true });
        IFrameDecoder decoder = decoders();
        foreach ((int sequence, BridgePower power) in ((int, BridgePower)[])[(1, BridgePower.Good), (1, BridgePower.Good), (4, BridgePower.Good), (5, BridgePower.Low), (0, BridgePower.Good)])
        {
            FrameBits bits = Bits24Encoder.Encode(Length.FromMicrometres(1_000), LengthUnit.Millimetre, Bits24Options.Fine);
            decoder.Feed(Encoding.ASCII.GetBytes(BridgeLineEncoder.Encode(new(sequence, FrameFormat.Bits24, bits, 66_000, false, power)) + "\r\n"), sink);
        }

        Assert.Equal(4, told.Count);   // repeated, lost, low, restarted
        Assert.Equal("bridge, 1 gaps, cell low", _live.Words);
        Assert.Equal(Length.FromMicrometres(1), _live.Resolution);
        _live.Saw(new CaliperEvent.Opened());
        Assert.DoesNotContain("cell low", _live.Words, StringComparison.Ordinal);
    }
}
