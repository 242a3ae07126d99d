using System.Globalization;
using System.Text;
using System.Text.RegularExpressions;
using CaliperStation.Core.Quantities;
using CaliperStation.Core.Wire;
using CsCheck;

namespace CaliperStation.Core.Tests.Wire;

/// <summary>Lines that frames.csv has no row for, made here after a published form; each row names the form's source, as <see cref="AsciiLine"/> does, or says that none is named.</summary>
public sealed class AsciiGrammarTests
{
    private const string Multiplexer = "a serial multiplexer's support page";
    private const string MultiplexerManual = "a serial multiplexer's user manual";
    private const string Converter = "an interface converter's diagram";
    private const string NumberPage = "38.142.81.21:8001, page-15; verdict signs: manualshive.com 3724609?page=82";
    private const string ErrorPage = "azmanual.top/manuals/656371";
    private const string NumberAlone = ErrorPage + "; 38.142.81.21:8001, page-15";
    private const string OptionPage = "manualshive.com 3724609";
    private const string LetteredPage = "manualshive.com/ru/manual, 3567625?page=41";
    private const string Alarms = "easymanua.ls, surface tester, manual?p=530 (NG); manualshive.com 3567625?page=41 (Error)";
    private const string HeightGauge = "easymanua.ls, height gauge, manual?p=81";
    private const string Comparator = "easymanua.ls, comparator, manual?p=69";
    private const string Names = "manualslib.fr/manual/416088?page=15";
    private const string Bridge = "a public bridge firmware's read-me";
    private const string NotNamed = "source not named";
    private const string Memory = "from memory";

    private static readonly AsciiOptions Millimetres = new(LengthUnit.Millimetre);

    private static FrameEvent Read(string line, out AsciiGrammar grammar, AsciiOptions? options = null) =>
        AsciiLine.Read(Encoding.Latin1.GetBytes(line), options ?? Millimetres, out grammar);

    [Theory]
    [InlineData("2 MW-00088.29 mm", AsciiGrammar.ChannelType, -88_290_000, LengthUnit.Millimetre, Multiplexer)]
    [InlineData("V1: mm   OK  +00012.345678", AsciiGrammar.Box, 12_345_678, LengthUnit.Millimetre, MultiplexerManual)]
    [InlineData("V2: in       -00000.500000", AsciiGrammar.Box, -12_700_000, LengthUnit.Inch, MultiplexerManual)]
    [InlineData("V2: INCH NOK +00001.000000", AsciiGrammar.Box, 25_400_000, LengthUnit.Inch, MultiplexerManual)]
    [InlineData("                 12.34 mm", AsciiGrammar.NumberUnit, 12_340_000, LengthUnit.Millimetre, NumberPage)]
    [InlineData("             -  12.34 mm", AsciiGrammar.Padded, -12_340_000, LengthUnit.Millimetre, Converter)]
    [InlineData("               0.5000 in", AsciiGrammar.Padded, 12_700_000, LengthUnit.Inch, Converter)]
    [InlineData("+0012.345", AsciiGrammar.BareNumber, 12_345_000, null, NumberAlone)]
    [InlineData("  12.345", AsciiGrammar.BareNumber, 12_345_000, null, NumberAlone)]
    [InlineData("-  12.345 mm", AsciiGrammar.NumberUnit, -12_345_000, LengthUnit.Millimetre, NumberPage)]
    [InlineData("+0012.345mm>", AsciiGrammar.NumberUnit, 12_345_000, LengthUnit.Millimetre, NumberPage)]
    [InlineData("+0012.345 <", AsciiGrammar.BareNumber, 12_345_000, null, NumberAlone)]
    [InlineData("mm +12.345", AsciiGrammar.UnitFirst, 12_345_000, LengthUnit.Millimetre, NotNamed)]
    [InlineData("IN-0.5000", AsciiGrammar.UnitFirst, -12_700_000, LengthUnit.Inch, NotNamed)]
    [InlineData("A1N mm OK +12.345", AsciiGrammar.Lettered, 12_345_000, LengthUnit.Millimetre, LetteredPage)]
    [InlineData("A1N+12.345", AsciiGrammar.Lettered, 12_345_000, null, LetteredPage)]
    public void A_line_of_each_published_form_is_its_value(string line, AsciiGrammar grammar, long nanometres, LengthUnit? unit, string source)
    {
        Assert.Contains(AsciiLine.Forms, form => form.Grammar == grammar && form.Source == source);
        FrameEvent found = Read(line, out AsciiGrammar fits);
        Assert.Equal(FrameEventKind.Value, found.Kind);
        Assert.Equal(grammar, fits);
        Assert.Equal(nanometres, found.Value.Nanometres);
        Assert.Equal(unit, found.Unit);
    }

    [Trait("trouble", "T27")]
    [Trait("trouble", "T29")]
    [Theory]
    [InlineData("ERR0", ErrorPage)]
    [InlineData("ERR1", ErrorPage)]
    [InlineData("ERR6", OptionPage)]
    [InlineData("ERR 9", Memory)]
    [InlineData("OR", NotNamed)]
    [InlineData("2 TO999999.99 mm", Multiplexer)]
    [InlineData("2 TO+999999.9 mm", Multiplexer)]
    [InlineData("N12:E1", MultiplexerManual)]
    [InlineData("N12:E3", MultiplexerManual)]
    [InlineData("Error", Alarms)]
    [InlineData("01A  Error", Alarms)]
    [InlineData("+00F2.345 mm", NotNamed)]
    [InlineData("+F012.345", NotNamed)]
    [InlineData("01A+0F00.123", HeightGauge)]
    [InlineData("HELP", NotNamed)]
    [InlineData("  HELP", NotNamed)]
    [InlineData("NG12", Alarms)]
    [InlineData("OUT OF BOUNDS", NotNamed)]
    [InlineData("NOT FOUND", NotNamed)]
    [InlineData("999999.99 mm", Memory)]
    [InlineData("# no answer from the caliper", Bridge)]
    public void T27_T29_T31_an_error_line_is_the_instruments_own_error_and_no_value(string line, string source)
    {
        AssertKnown(source);
        FrameEvent found = Read(line, out AsciiGrammar _);
        Assert.Equal(FrameEventKind.DeviceError, found.Kind);
        Assert.False(string.IsNullOrEmpty(found.Why));
    }

    [Theory]
    [InlineData("ERR3", FrameReason.Range)]
    [InlineData("OR", FrameReason.Range)]
    [InlineData("OUT OF BOUNDS", FrameReason.Range)]
    [InlineData("+F012.345", FrameReason.Range)]
    [InlineData("ERR0", FrameReason.Device)]
    [InlineData("HELP", FrameReason.Device)]
    [InlineData("911", FrameReason.NoPoint)]
    [InlineData("+1.2.3", FrameReason.Garbled)]
    [InlineData("+1.23 mm", FrameReason.None)]
    public void Why_a_line_is_no_value_is_typed(string line, FrameReason reason) => Assert.Equal(reason, Read(line, out _).Reason);

    [Theory]
    [InlineData("?", NotNamed)]
    [InlineData("R", NotNamed)]
    [InlineData("PRI", NotNamed)]
    [InlineData("M1?", Comparator)]
    [InlineData("SUCCESS", NotNamed)]
    [InlineData("GAUGE TYPE 7 V2.10", Names)]
    public void An_echo_a_reply_and_a_name_are_ignored(string line, string source)
    {
        AssertKnown(source);
        Assert.Equal(FrameEventKind.Ignored, Read(line, out _).Kind);
    }

    /// <summary>A source of one of the forms or of the words that are whole lines, or the words that there is none.</summary>
    private static void AssertKnown(string source) =>
        Assert.Contains(source, AsciiLine.Forms.Select(form => form.Source).Concat([ErrorPage, OptionPage, NotNamed, Memory]));

    [Fact]
    public void A_pedal_line_is_a_press() => Assert.Equal(FrameEvent.Press(AsciiLine.Pedal), Read("0001,FOOTSWITCH, ,01", out _));

    [Theory]
    [InlineData("01A+000.12")]
    [InlineData("01A+0000.1234")]
    [InlineData("01A 0000.123")]
    [InlineData("1A+0000.123")]
    [InlineData("2 MX-00088.29 mm")]
    [InlineData("2 MW-0088.29 mm")]
    [InlineData("GN01,+016.2345")]
    [InlineData("GN01,+00162.345")]
    [InlineData("V1: cm   OK  +00012.345678")]
    [InlineData("V1: mm   OK  +0012.345678")]
    [InlineData("+  2.1380,MM")]
    [InlineData("+  2.138, MM")]
    [InlineData("0001,FOOTSWITCH, ,1")]
    [InlineData("V1: mm\u001b[1m OK +00012.345678")]
    public void T63_a_fixed_form_of_another_width_is_refused(string line) => Assert.Equal(FrameEventKind.Refused, Read(line, out _).Kind);

    [Fact]
    public void A_line_without_unit_is_refused_until_the_unit_is_set()
    {
        Assert.Equal(FrameEvent.Refused(AsciiLine.NoUnit, FrameReason.NoUnit), Read("01A+0000.123", out _, AsciiOptions.Default));
        Assert.Equal(3_124_200, Read("01A+0000.123", out _, new(LengthUnit.Inch)).Value.Nanometres);
    }

    [Fact]
    public void A_form_that_was_not_chosen_is_refused() =>
        Assert.Equal(FrameEvent.Refused(AsciiLine.OtherGrammar), Read("+0000.123", out _, Millimetres with { Only = AsciiGrammar.ChannelLetter }));

    /// <summary>An interface converter's diagram: 1200 baud 8N2, bit 8 undefined.</summary>
    [Fact]
    public void Bit_8_undefined_is_masked_when_set_and_refused_when_not()
    {
        byte[] line = [.. Encoding.ASCII.GetBytes("             -  12.34 mm\r").Select((value, i) => (byte)(value | (i % 2 == 0 ? 0x80 : 0)))];
        CollectingSink masked = new();
        new AsciiLineDecoder(new(MaskBit8: true)).Feed(line, masked);
        Assert.Equal(-12_340_000, Assert.Single(masked.Values).Value.Nanometres);

        CollectingSink plain = new();
        new AsciiLineDecoder().Feed([.. line, (byte)'\r'], plain);
        Assert.Empty(plain.Values);
    }

    [Fact]
    public void Seven_bits_with_even_parity_read_as_eight_bits_are_refused_or_right_but_never_wrong()
    {
        byte[] line = [.. Encoding.ASCII.GetBytes("+12.345\r").Select(value => (byte)(value | (int.PopCount(value) % 2 << 7)))];
        CollectingSink sink = new();
        new AsciiLineDecoder(Millimetres).Feed([.. line, (byte)'\r'], sink);
        Assert.Empty(sink.Values);
        CollectingSink masked = new();
        new AsciiLineDecoder(Millimetres with { MaskBit8 = true }).Feed(line, masked);
        Assert.Equal(12_345_000, Assert.Single(masked.Values).Value.Nanometres);
    }

    [Fact]
    public void What_the_encoder_writes_in_each_form_the_decoder_reads()
    {
        AsciiGrammar[] forms =
        [
            AsciiGrammar.BareNumber, AsciiGrammar.NumberUnit, AsciiGrammar.Padded, AsciiGrammar.CommaUnit, AsciiGrammar.UnitFirst,
            AsciiGrammar.ChannelLetter, AsciiGrammar.ChannelType, AsciiGrammar.Box, AsciiGrammar.Coded, AsciiGrammar.Lettered,
        ];
        Gen.Select(Pick.From(forms), Gen.Int[-99_999, 99_999], Pick.From(LengthUnit.Millimetre, LengthUnit.Inch), Gen.Int[2, 4]).Sample((form, digits, unit, decimals) =>
        {
            Length value = ShownNumber.In(unit, digits, decimals);
            string line = AsciiEncoder.Encode(form, value, unit, decimals);
            FrameEvent found = Read(line, out AsciiGrammar fits, new(unit));
            return found.Kind == FrameEventKind.Value && found.Value == value && fits == form;
        }, iter: FuzzLength.Of(5_000));
    }

    /// <summary>The published lines and those of this class, each damaged in a few places. Whatever becomes of it is checked against a second, simpler reading of its digits.</summary>
    [Fact]
    public void A_damaged_line_is_no_value_or_exactly_the_number_that_stands_in_it()
    {
        string[] lines = [.. PublishedFrame.All.Where(row => row is { Format: FrameFormat.Ascii, IsInverted: false }).Select(row => row.Raw.Replace("\\r", "", StringComparison.Ordinal).Replace("\\n", "", StringComparison.Ordinal)),
            "2 MW-00088.29 mm", "V1: mm   OK  +00012.345678", "             -  12.34 mm", "mm +12.345", "A1N mm OK +12.345", "+0012.345mm>", "1,234 in", "0001,FOOTSWITCH, ,01", "NG12", "GAUGE 7"];
        string[] pieces = ["+", "-", " ", "             ", ".", ",", "0", "9", "F", "mm", "IN", "inch", "Error", "ERR", "OK", "<", "#", "\u001b", "\u00e9", "3 5"];
        Gen<(int, int, string)> damage = Gen.Select(Gen.Int[0, 64], Gen.Int[0, 3], Gen.OneOf(Pick.From(pieces), Gen.Char[' ', '~'].Select(one => one.ToString())));
        Gen.Select(Pick.From(lines), damage.Array[0, 4], Pick.From<LengthUnit?>(null, LengthUnit.Millimetre, LengthUnit.Inch)).Sample((line, damages, assumed) =>
        {
            foreach ((int place, int lost, string put) in damages)
            {
                int at = Math.Min(place, line.Length);
                line = line[..at] + put + line[Math.Min(line.Length, at + lost)..];
            }

            FrameEvent found = Read(line, out AsciiGrammar grammar, new(assumed));
            FrameEvent only = Read(line, out _, new(assumed, Only: AsciiGrammar.NumberUnit));
            if (found.Kind != FrameEventKind.Value)
            {
                Assert.Equal((Length.Zero, null, Length.Zero), (found.Value, found.Unit, found.Resolution));
                Assert.Equal(found.Kind == FrameEventKind.Refused, grammar == AsciiGrammar.None);
                Assert.NotEqual(FrameReason.None, found.Kind is FrameEventKind.Refused or FrameEventKind.DeviceError ? found.Reason : FrameReason.Garbled);
                Assert.False(string.IsNullOrEmpty(found.Why));
                Assert.Equal(found, only);
                return;
            }

            Assert.Equal(grammar == AsciiGrammar.NumberUnit ? found : FrameEvent.Refused(AsciiLine.OtherGrammar), only);
            Assert.DoesNotContain(line, one => one is < ' ' or > '~');
            bool millimetres = line.Contains("mm", StringComparison.OrdinalIgnoreCase);
            bool inches = line.Contains("in", StringComparison.OrdinalIgnoreCase);
            Assert.Contains(found.Unit, (LengthUnit?[])[millimetres ? LengthUnit.Millimetre : null, inches ? LengthUnit.Inch : null]);
            LengthUnit unit = Assert.NotNull(found.Unit ?? assumed);
            decimal nanometres = unit == LengthUnit.Millimetre ? 1_000_000m : 25_400_000m;
            Match number = Assert.Single(Regex.Matches(line, "[0-9]+[.,][0-9]+", RegexOptions.CultureInvariant));
            int decimals = number.Length - 1 - number.Value.IndexOfAny(['.', ',']);
            decimal value = decimal.Parse(number.Value.Replace(',', '.'), NumberStyles.AllowDecimalPoint, CultureInfo.InvariantCulture);
            Assert.InRange(decimals, 1, 6);
            Assert.Equal((long)Math.Round(value * nanometres, MidpointRounding.ToEven), found.Value.Abs().Nanometres);
            Assert.Equal((long)Math.Round(nanometres / (decimal)Math.Pow(10, decimals), MidpointRounding.ToEven), found.Resolution.Nanometres);
            Assert.True(found.Value >= Length.Zero || line[..number.Index].TrimEnd().EndsWith('-'));
        }, iter: FuzzLength.Of(20_000));
    }

    /// <summary>No pattern goes back over what it read more often than the line is long: each of these would otherwise never end.</summary>
    [Theory]
    [InlineData("")]
    [InlineData("+")]
    [InlineData("mm")]
    [InlineData("A1N")]
    [InlineData("V1: mm")]
    [InlineData("1 TO")]
    [InlineData("GN01,+")]
    public void A_long_line_that_nearly_fits_is_refused_too(string start)
    {
        foreach (string part in (string[])[" ", "9", "F", "1.", "F.", "A", "AB ", "mm ", "=", "E", "NG ", "#\u00ff"])
        {
            string line = start + string.Concat(Enumerable.Repeat(part, 5_000)) + "\u0001";
            Assert.Equal(FrameEventKind.Refused, Read(line, out _).Kind);
        }
    }

    [Fact]
    public void Every_form_says_where_it_comes_from() => Assert.DoesNotContain(AsciiLine.Forms, form => string.IsNullOrWhiteSpace(form.Source));

    [Fact]
    public void Six_decimals_of_an_inch_are_rounded_half_even_once()
    {
        Assert.Equal(25, Read("0.000001 in", out _).Value.Nanometres);       // 25.4 nm
        Assert.Equal(127, Read("0.000005 in", out _).Value.Nanometres);      // 127 nm exactly
        Assert.Equal(25_400_025, Read("1.000001 in", out _).Value.Nanometres);
    }
}
