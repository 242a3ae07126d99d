using System.Globalization;
using System.Text;
using CaliperStation.Core.Wire;
using CsCheck;

namespace CaliperStation.Core.Tests.Wire;

public sealed class PublishedFrameTests
{
    public static TheoryData<int> Rows => [.. PublishedFrame.All.Where(row => !row.IsInverted).Select(row => row.Line)];

    public static TheoryData<int> InvertedRows => [.. PublishedFrame.All.Where(row => row.IsInverted).Select(row => row.Line)];

    private static PublishedFrame Row(int line) => PublishedFrame.All.Single(row => row.Line == line);

    [Fact]
    public void Every_published_row_is_here()
    {
        Assert.Equal(67, PublishedFrame.All.Count);
        Assert.Equal(2, InvertedRows.Count);
    }

    [Theory]
    [MemberData(nameof(Rows))]
    public void A_published_frame_written_down_decodes_to_its_value_or_is_refused(int line)
    {
        PublishedFrame row = Row(line);
        Check(row, FrameDecode.Decode(FrameFormats.Name(row.Format), row.Raw, row.Options));
    }

    [Theory]
    [MemberData(nameof(Rows))]
    public void A_published_frame_in_a_stream_decodes_the_same_whole_and_byte_by_byte(int line)
    {
        PublishedFrame row = Row(line);
        IFrameDecoder whole = row.Decoder;
        CollectingSink sink = new();
        whole.Feed(row.Stream, sink);
        CheckStream(row, Assert.Single(sink.Taken).Event);

        IFrameDecoder bytewise = row.Decoder;
        CollectingSink slowly = new();
        foreach (byte value in row.Stream)
        {
            bytewise.Feed([value], slowly);
        }

        Assert.Equal(sink.Taken, slowly.Taken);
    }

    [Theory]
    [MemberData(nameof(Rows))]
    public void Junk_before_and_after_a_published_frame_changes_nothing(int line)
    {
        PublishedFrame row = Row(line);
        IFrameDecoder decoder = row.Decoder;
        CollectingSink sink = new();
        decoder.Feed("\0\u001b[2J~~ 12\r\n"u8, sink);
        decoder.Feed(row.Stream, sink);
        decoder.Feed("\u00ff~~ 34\r\n"u8, sink);
        Assert.Equal(3, sink.Taken.Count);
        Assert.Equal(FrameEventKind.Refused, sink.Taken[0].Event.Kind);
        CheckStream(row, sink.Taken[1].Event);
        Assert.Equal(FrameEventKind.Refused, sink.Taken[2].Event.Kind);
    }

    [Fact]
    public void A_stream_of_all_published_frames_decodes_the_same_however_it_is_cut()
    {
        foreach (FrameFormat format in Enum.GetValues<FrameFormat>())
        {
            PublishedFrame[] rows = [.. PublishedFrame.All.Where(row => row.Format == format && !row.IsInverted)];
            if (rows.Length == 0)
            {
                continue;   // no published two-word frame with its levels and display; see TwoWordTests
            }

            byte[] stream = [.. rows.SelectMany(row => row.Stream)];
            CollectingSink whole = new();
            rows[0].Decoder.Feed(stream, whole);
            Gen.Int[0, stream.Length].Array[1, 12].Sample(
                cuts =>
                {
                    IFrameDecoder decoder = rows[0].Decoder;
                    CollectingSink sink = new();
                    int from = 0;
                    foreach (int cut in cuts.Order().Append(stream.Length))
                    {
                        decoder.Feed(stream.AsSpan(from, cut - from), sink);
                        decoder.Silence(TimeSpan.FromMilliseconds(20), sink);
                        from = cut;
                    }

                    return sink.Taken.SequenceEqual(whole.Taken);
                },
                iter: 300);
        }
    }

    /// <summary>https://forum.arduino.cc/t/help-decoding-serial-data-from-mitutoyo-protractor-solved/543935: no value of it is taken; turned over, it reads as the thread says.</summary>
    [Theory]
    [MemberData(nameof(InvertedRows))]
    public void A_line_of_wrong_polarity_is_refused_and_can_be_recognised(int line)
    {
        PublishedFrame row = Row(line);
        byte[] received = [.. row.Raw.Split(' ').Select(hex => byte.Parse(hex, NumberStyles.HexNumber, CultureInfo.InvariantCulture))];
        CollectingSink sink = new();
        IFrameDecoder decoder = row.Decoder;
        decoder.Feed([.. received, (byte)'\r'], sink);
        Assert.Equal(FrameEventKind.Refused, Assert.Single(sink.Taken).Event.Kind);

        string text = Encoding.ASCII.GetString([.. received.Select(InvertedLine.Recover)]);
        Assert.Equal(row.Expected, $"text {text.TrimEnd()} + {(text.EndsWith("\r\n", StringComparison.Ordinal) ? "CRLF" : "?")}");
    }

    private static void Check(PublishedFrame row, in FrameEvent found)
    {
        if (row.Value is { } value)
        {
            Assert.Equal(FrameEventKind.Value, found.Kind);
            Assert.Equal(value, found.Value);
            if (found.Unit is { } unit)
            {
                Assert.Equal(row.AssumedUnit, unit);
            }

            return;
        }

        Assert.Equal(ExpectedKind(row), found.Kind);
        Assert.False(string.IsNullOrEmpty(found.Why));
    }

    /// <summary>In a stream, a stored or computed value is no live reading.</summary>
    private static void CheckStream(PublishedFrame row, in FrameEvent found)
    {
        if (row.Format == FrameFormat.Bcd13 && row.Value is not null && row.Raw[0] is not ('F' or '1' or '6' or '7'))
        {
            Assert.Equal(FrameEvent.Ignored(BridgeLineDecoder.NotShownNow), found);
            return;
        }

        Check(row, found);
    }

    private static FrameEventKind ExpectedKind(PublishedFrame row) => row switch
    {
        { Unit: "count" } => FrameEventKind.Ignored,
        { Format: FrameFormat.Ascii } => FrameEventKind.DeviceError,   // ERR0, ERR2, ERR3
        _ => FrameEventKind.Refused,
    };
}
