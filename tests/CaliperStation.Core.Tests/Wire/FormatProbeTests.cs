using System.Text;
using CaliperStation.Core.Wire;
using CsCheck;

namespace CaliperStation.Core.Tests.Wire;

public sealed class FormatProbeTests
{
    private static ProbeResult Of(string text) => FormatProbe.Of(Encoding.Latin1.GetBytes(text));

    private static string Times(int count, string line) => string.Concat(Enumerable.Repeat(line, count));

    [Theory]
    [InlineData("+12.345 mm\r\n", AsciiGrammar.NumberUnit, true)]
    [InlineData("01A+0000.123\r", AsciiGrammar.ChannelLetter, false)]
    [InlineData("2 MW-00088.29 mm\r\n", AsciiGrammar.ChannelType, true)]
    [InlineData("GN01,+0016.2345\r\n", AsciiGrammar.Coded, false)]
    public void Three_whole_lines_after_the_first_fit(string line, AsciiGrammar grammar, bool namesUnit)
    {
        ProbeResult found = Of(line[4..] + Times(3, line) + line[..5]);
        Assert.Equal((ProbeVerdict.Fits, grammar, namesUnit, 3, 0), (found.Verdict, found.Grammar, found.NamesUnit, found.Good, found.Bad));
    }

    [Fact]
    public void Two_lines_or_five_bare_numbers_are_not_enough()
    {
        Assert.Equal(ProbeVerdict.Undecided, Of(Times(3, "+12.345 mm\r\n")).Verdict);
        Assert.Equal(ProbeVerdict.Undecided, Of(Times(6, "+0012.345\r")).Verdict);
        Assert.Equal(ProbeVerdict.Fits, Of(Times(7, "+0012.345\r")).Verdict);
        Assert.Equal(ProbeVerdict.Undecided, Of(Times(3, "+0012.345\r") + Times(5, "+12.345\r")).Verdict);
        Assert.Equal(ProbeVerdict.Silent, Of("").Verdict);
    }

    [Fact]
    public void One_bad_line_between_good_ones_does_not_fit() =>
        Assert.Equal(ProbeVerdict.NoFit, Of(Times(5, "+12.345 mm\r\n") + "+1\u00fe.345 mm\r\n" + Times(5, "+12.345 mm\r\n")).Verdict);

    [Fact]
    public void Lines_of_two_forms_do_not_fit() =>
        Assert.Equal((ProbeVerdict.NoFit, FormatProbe.Mixed), Of(Times(4, "+12.345 mm\r") + Times(4, "01A+0000.123\r")) is var found ? (found.Verdict, found.Hint) : default);

    [Fact]
    public void Errors_and_names_between_values_speak_neither_for_nor_against() =>
        Assert.Equal(ProbeVerdict.Fits, Of("GAUGE 7\r+12.345 mm\rERR0\r" + Times(3, "+12.345 mm\r")).Verdict);

    [Fact]
    public void Bridge_lines_fit_by_their_check()
    {
        string[] lines = [.. Enumerable.Range(1, 4).Select(i => BridgeLineEncoder.Encode(new(i, FrameFormat.Bits24, new(0, 24), 66_000, false, BridgePower.Good)) + "\r\n")];
        ProbeResult found = Of(lines[0][9..] + lines[1] + lines[2] + lines[3]);
        Assert.Equal((ProbeVerdict.Fits, true), (found.Verdict, found.Bridge));
        Assert.Equal(ProbeVerdict.NoFit, Of(lines[0] + lines[1] + lines[2].Replace('0', '8') + lines[3] + lines[0]).Verdict);
    }

    [Theory]
    [InlineData(0, EighthBit.EvenParity)]
    [InlineData(1, EighthBit.OddParity)]
    public void Parity_read_as_an_eighth_bit_is_recognised(int odd, EighthBit expected)
    {
        byte[] bytes = [.. Encoding.ASCII.GetBytes(Times(8, "+0012.345\r")).Select(value => (byte)(value | (((int.PopCount(value) + odd) & 1) << 7)))];
        ProbeResult found = FormatProbe.Of(bytes);
        Assert.Equal((ProbeVerdict.Fits, expected, AsciiGrammar.BareNumber), (found.Verdict, found.EighthBit, found.Grammar));
    }

    [Fact]
    public void A_line_of_wrong_polarity_is_named()
    {
        byte[] bytes = [.. Encoding.ASCII.GetBytes(Times(10, "+12.345 mm\r\n")).Select(value => (byte)(~(value << 1) & 0xFF))];
        ProbeResult found = FormatProbe.Of(bytes);
        Assert.Equal((ProbeVerdict.NoFit, FormatProbe.Inverted), (found.Verdict, found.Hint));
    }

    [Trait("trouble", "T04")]
    [Fact]
    public void T04_T05_noise_and_text_without_an_end_say_what_may_be_wrong()
    {
        Assert.Equal(FormatProbe.NoLineEnd, Of(Times(20, "+12.345 mm ")).Hint);
        Assert.Equal(FormatProbe.WrongSpeed, FormatProbe.Of([.. Enumerable.Range(0, 200).Select(i => (byte)(0xE0 | i))]).Hint);
        Assert.Equal(FormatProbe.Unknown, Of(Times(20, "hello, world!\r\n")).Hint);
    }

    /// <summary>Two speeds cannot both be right; when both seem so, a person must say.</summary>
    [Fact]
    public void Two_settings_that_both_fit_are_not_chosen_between()
    {
        ProbeResult fits = Of(Times(5, "+12.345 mm\r"));
        ProbeResult not = Of(Times(20, "~~~~~~~\r"));
        Assert.Equal(1, FormatProbe.Only([not, fits, not]));
        Assert.Null(FormatProbe.Only([fits, not, fits]));
        Assert.Null(FormatProbe.Only([not, not]));
    }

    [Fact]
    public void Random_bytes_never_fit() =>
        Gen.Frequency((1, Gen.Byte), (3, Gen.Byte[0x2B, 0x39]), (1, Pick.From((byte)'\r', (byte)'\n'))).Array[0, 400].Sample(bytes => FormatProbe.Of(bytes).Verdict != ProbeVerdict.Fits, iter: FuzzLength.Of(5_000));

    [Fact]
    public void A_stream_read_at_half_or_twice_its_speed_never_fits()
    {
        byte[] sent = Encoding.ASCII.GetBytes(Times(20, "+0012.345\r"));
        Assert.NotEqual(ProbeVerdict.Fits, FormatProbe.Of(Resampled(sent, 2, 1)).Verdict);
        Assert.NotEqual(ProbeVerdict.Fits, FormatProbe.Of(Resampled(sent, 1, 2)).Verdict);
        Assert.Equal(sent, Resampled(sent, 1, 1));
    }

    /// <summary>A UART that reads 8N1 at over/under of the sender's speed; one bit of the sender is so many samples.</summary>
    private static byte[] Resampled(byte[] sent, int over, int under)
    {
        const int samples = 16;
        List<bool> wire = [.. Enumerable.Repeat(true, 200)];
        foreach (byte value in sent)
        {
            int frame = (value << 1) | 0x200;   // start 0, eight bits, stop 1
            for (int bit = 0; bit < 10; bit++)
            {
                wire.AddRange(Enumerable.Repeat(((frame >> bit) & 1) != 0, samples));
            }
        }

        int step = samples * under / over;
        List<byte> read = [];
        int at = 0;
        while (at + (10 * step) <= wire.Count)
        {
            if (wire[at])
            {
                at++;
                continue;
            }

            int value = 0;
            for (int bit = 0; bit < 8; bit++)
            {
                value |= wire[at + (step / 2) + ((bit + 1) * step)] ? 1 << bit : 0;
            }

            read.Add((byte)value);
            at += (step / 2) + (9 * step);
        }

        return [.. read];
    }
}
