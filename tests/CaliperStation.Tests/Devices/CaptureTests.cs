using CaliperStation.Core.Quantities;
using CaliperStation.Core.Readings;
using CaliperStation.Core.Wire;
using CaliperStation.Devices;
using CaliperStation.Files;
using CsCheck;
using Microsoft.Extensions.Time.Testing;

namespace CaliperStation.Tests.Devices;

public sealed class CaptureTests
{
    [Fact]
    public void Any_bytes_survive_writing_and_reading() => Gen.Byte.Array[0, 100].Sample(bytes =>
    {
        string line = CaptureText.Format(TimeSpan.FromMilliseconds(12.3), bytes);
        CaptureLine? read = CaptureText.Parse(line, out string? fault);

        Assert.Null(fault);
        Assert.Equal(bytes, read!.Bytes);
        Assert.Equal(TimeSpan.FromMilliseconds(12.3), read.SinceOpen);
        Assert.Equal(PrintableText.Escape(line), line);
    }, iter: 500);

    [Fact]
    public void A_capture_goes_on_over_a_loss()
    {
        StringWriter text = new();
        using (CaptureWriter writer = new(text, new SerialSettings("p", 4800)))
        {
            writer.Take(TimeSpan.FromMilliseconds(5), "+1.00 mm\r"u8);
            writer.Lost();
            writer.Take(TimeSpan.FromMilliseconds(3), "+2.00 mm\r"u8);
        }

        Assert.Equal(
            "# caliper-station capture 1\n# 4800-8N1\n5.0 \"+1.00 mm\\r\"\n# the line was lost\n8.0 \"+2.00 mm\\r\"\n", text.ToString());
        Assert.Equal(2, CaptureText.Read(new StringReader(text.ToString()), "f").Count);
    }

    [Theory]
    [InlineData("hello", 1, CaptureText.NoCapture)]
    [InlineData("# caliper-station capture 1\n", 1, CaptureText.Nothing)]
    [InlineData("# caliper-station capture 1\nx \"a\"", 2, CaptureText.NoTime)]
    [InlineData("# caliper-station capture 1\n-1 \"a\"", 2, CaptureText.NoTime)]
    [InlineData("# caliper-station capture 1\n1.0 a", 2, EscapedBytes.NoQuotes)]
    [InlineData("# caliper-station capture 1\n1.0 \"\\q\"", 2, EscapedBytes.NotInQuotes)]
    [InlineData("# caliper-station capture 1\n1.0 \"\\x1\"", 2, EscapedBytes.NotInQuotes)]
    [InlineData("# caliper-station capture 1\n1.0 \"a\\\"", 2, EscapedBytes.NotInQuotes)]
    [InlineData("# caliper-station capture 1\n2.0 \"a\"\n1.0 \"b\"", 3, CaptureText.TimeGoesBack)]
    public void A_damaged_capture_is_refused_with_its_line(string text, int line, string why)
    {
        StationException refused = Assert.Throws<StationException>(() => CaptureText.Read(new StringReader(text), "f"));

        Assert.Equal(ExitCode.BadFile, refused.ExitCode);
        Assert.Equal(FormattableString.Invariant($"f:{line}: {why}."), refused.Message);
    }

    [Fact]
    public void A_replay_keeps_the_times_and_then_says_that_it_ended()
    {
        FakeTimeProvider time = new();
        CaptureLine[] lines =
        [
            new(TimeSpan.FromMilliseconds(100), "+1.0"u8.ToArray()),
            new(TimeSpan.FromMilliseconds(104), "0 mm\r"u8.ToArray()),
            new(TimeSpan.FromMilliseconds(500), "+2.00 mm\r+9"u8.ToArray()),
        ];
        TimeSpan start = time.GetElapsedTime(0);
        ReplayCaliper caliper = new("press.cap", lines, () => new AsciiLineDecoder(), LengthUnit.Inch, time);
        SteppedCaliper run = new(caliper, time);
        Assert.False(caliper.Asks || caliper.Request());

        Assert.IsType<CaliperEvent.Opened>(run.Next());
        Reading first = Assert.IsType<CaliperEvent.Value>(run.Next()).Reading;
        Assert.Equal(("+1.00 mm", ReadingSource.Replay, 104.0), (first.Raw, first.Source, Math.Round((first.Arrived - start).TotalMilliseconds)));
        Assert.Equal(500, Math.Round((Assert.IsType<CaliperEvent.Value>(run.Next()).Reading.Arrived - start).TotalMilliseconds));
        Assert.Equal("+9", Assert.IsType<CaliperEvent.Refused>(run.Next()).Raw);
        Assert.Equal(LossKind.Ended, Assert.IsType<CaliperEvent.Lost>(run.Next()).Kind);
        Assert.Empty(run.For(TimeSpan.FromSeconds(10)));
        Assert.True(run.HasEnded);
    }
}
