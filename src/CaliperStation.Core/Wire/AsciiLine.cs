using System.Globalization;
using System.Text;
using System.Text.RegularExpressions;
using CaliperStation.Core.Quantities;

namespace CaliperStation.Core.Wire;

/// <summary>The kinds of lines an ASCII instrument may send; the table of <see cref="AsciiLine"/> says how each looks and who published it.</summary>
public enum AsciiGrammar
{
    /// <summary>No form fits.</summary>
    None,

    /// <summary>A number and nothing else, or with a verdict sign.</summary>
    BareNumber,

    /// <summary>A number and its unit; a verdict sign, a unit number and a signal strength may follow.</summary>
    NumberUnit,

    /// <summary>The same, padded with blanks to 24 characters.</summary>
    Padded,

    /// <summary>A signed number of 8 characters, a comma, a blank and the unit.</summary>
    CommaUnit,

    /// <summary>The unit before the number.</summary>
    UnitFirst,

    /// <summary>A channel of two digits, a letter, and a signed number of 8 characters.</summary>
    ChannelLetter,

    /// <summary>A channel of one digit, two letters that say what the number is, the number and its unit.</summary>
    ChannelType,

    /// <summary>A box's input, unit, verdict and number; or the box's error.</summary>
    Box,

    /// <summary>A code of two letters, a station number, a comma and a signed number of 4 and 4 digits.</summary>
    Coded,

    /// <summary>A station, a mode letter, then what the instrument is set to send.</summary>
    Lettered,

    /// <summary>An error, overflow or alarm.</summary>
    Error,

    /// <summary>A pedal was pressed.</summary>
    Pedal,

    /// <summary>The instrument's name, a reply or the echo of a command.</summary>
    Words,
}

/// <summary>What a person must tell the decoder because the wire does not.</summary>
/// <param name="AssumedUnit">
/// The unit of lines that name none, as the instrument is set; null refuses such lines, for 25.4 is too large an error to guess.
/// </param>
/// <param name="MaskBit8">True when the instrument leaves bit 8 undefined (1200 baud 8N2 types): every byte is taken modulo 128.</param>
/// <param name="Only">When set, value lines of every other grammar are refused: a lost byte then cannot turn one grammar into another.</param>
public sealed record AsciiOptions(LengthUnit? AssumedUnit = null, bool MaskBit8 = false, AsciiGrammar? Only = null)
{
    /// <summary>Lines must name their unit; all eight bits count; any grammar.</summary>
    public static AsciiOptions Default { get; } = new();
}

/// <summary>One whole line, without its terminator, against the table of all known forms. The first form that fits from end to end says what the line is.</summary>
/// <remarks>The reasons are constant sentences: nothing of the wire reaches the screen through them.</remarks>
public static partial class AsciiLine
{
    internal const string NoGrammar = "the line fits no known form";
    internal const string NoUnit = "the line names no unit and none is set for this caliper";
    internal const string OtherGrammar = "the line has another form than the one set for this caliper";
    internal const string Pedal = "the pedal was pressed";
    internal const string BridgeError = "the bridge reports an error";

    private const string NoPoint = "a number without a decimal point is not a reading";
    private const string TooManyDigits = "the number has more digits than an instrument shows";
    private const string Overflow = "the instrument's counter has overflowed: zero it again";
    private const string InstrumentError = "the instrument reports an error";
    private const string RangeError = "the instrument reports that its range is exceeded";
    /// <summary>The words of <c>ERR0</c>.</summary>
    public const string SensorError = "the instrument reports a sensor error: moved too fast or too far from the scale";
    private const string CommandError = "the instrument did not understand a command";
    private const string Echo = "the instrument echoed a command";

    private const RegexOptions Plain = RegexOptions.CultureInvariant | RegexOptions.ExplicitCapture | RegexOptions.Singleline;

    private const string Unit = "(?<unit>(?>[Mm]{2}|[Ii][Nn]([Cc][Hh])?))";

    /// <summary>Digits with one point, or one comma that has a digit after it; a letter F among them says that the counter ran over.</summary>
    private const string Number = @"(?<number>(?>(?=[0-9]|F[0-9.F])(F(?=[0-9.F]))*([0-9][0-9F]*((\.|,(?=[0-9]))[0-9F]*)?)?))";

    /// <summary>Blanks, a sign, blanks (no blank elsewhere) and the number. A line that begins with F is no number.</summary>
    private const string Signed = "(?!F) *((?<sign>[+-]) *)?" + Number;

    private const string UnitAndMore = " *" + Unit + @" *([<=>] *)?([0-9]( +|\z)){0,2}\z";

    /// <summary>Whole lines of words; blanks around them are nothing. ERR0 to ERR3: azmanual.top/manuals/656371; ERR6: manualshive.com 3724609; the others: source not named.</summary>
    private static readonly Dictionary<string, FrameEvent> Words = new()
    {
        ["ERR0"] = FrameEvent.DeviceError(SensorError),
        ["ERR1"] = FrameEvent.DeviceError(CommandError),
        ["ERR2"] = FrameEvent.DeviceError("the instrument received a parity error: check the line settings"),
        ["ERR3"] = FrameEvent.DeviceError(RangeError, FrameReason.Range),
        ["ERR6"] = FrameEvent.DeviceError("the instrument says that this feature is switched off"),
        ["OR"] = FrameEvent.DeviceError(RangeError, FrameReason.Range),
        ["OUT OF BOUNDS"] = FrameEvent.DeviceError(RangeError, FrameReason.Range),
        ["NOT FOUND"] = FrameEvent.DeviceError(CommandError),
        ["HELP"] = FrameEvent.DeviceError("the instrument reports an overload"),
        ["SUCCESS"] = FrameEvent.Ignored("the instrument acknowledged a command"),
        ["R"] = FrameEvent.Ignored(Echo),
        ["?"] = FrameEvent.Ignored(Echo),
        ["A"] = FrameEvent.Ignored(Echo),
        ["PRI"] = FrameEvent.Ignored(Echo),
    };

    /// <summary>Tried from the first to the last: fixed forms, what begins like one of them and is broken, free forms, words.</summary>
    internal static readonly IReadOnlyList<Form> Forms =
    [
        new(AsciiGrammar.ChannelLetter, "easymanua.ls, height gauge, manual?p=81", ChannelLetterForm, (match, options) => Value(match, options)),
        new(AsciiGrammar.ChannelType, "a serial multiplexer's support page", MeasuredForm, Measured),
        new(AsciiGrammar.ChannelType, "a serial multiplexer's support page", TimeoutForm, (_, _) => FrameEvent.DeviceError("the instrument's box reports that the caliper did not answer")),
        new(AsciiGrammar.ChannelType, "a serial multiplexer's support page", OtherTypeForm, (_, _) => FrameEvent.Refused("the line's type letters do not say that it is a measured value")),
        new(AsciiGrammar.Pedal, "a multiplexer's manual", PedalForm, (_, _) => FrameEvent.Press(Pedal)),
        new(AsciiGrammar.Coded, "easymanua.ls, indicator, manual?p=24, which prints ** for the station", CodedForm, (match, options) => Value(match, options, 9, 4)),
        new(AsciiGrammar.Box, "a serial multiplexer's user manual", BoxForm, (match, options) => Value(match, options, 12, 6)),
        new(AsciiGrammar.Box, "a serial multiplexer's user manual", BoxErrorForm, (match, _) => FrameEvent.DeviceError(match.Value[^1] switch
        {
            '1' => "the instrument's box cannot talk to the caliper",
            '3' => "the instrument's box could not read the caliper",
            _ => InstrumentError,
        })),
        new(AsciiGrammar.None, "the fixed forms above", BrokenFixedForm, (_, _) => FrameEvent.Refused(NoGrammar)),
        new(AsciiGrammar.UnitFirst, "source not named", UnitFirstForm, (match, options) => Value(match, options)),
        new(AsciiGrammar.Lettered, "manualshive.com/ru/manual, 3567625?page=41", LetteredForm, (match, options) => Value(match, options)),
        new(AsciiGrammar.CommaUnit, "easymanua.ls, indicator, manual?p=17", CommaUnitForm, (match, options) => Value(match, options)),
        new(AsciiGrammar.Padded, "an interface converter's diagram", PaddedForm, (match, options) => Value(match, options)),
        new(AsciiGrammar.NumberUnit, "38.142.81.21:8001, page-15; verdict signs: manualshive.com 3724609?page=82", NumberUnitForm, (match, options) => Value(match, options)),
        new(AsciiGrammar.BareNumber, "azmanual.top/manuals/656371; 38.142.81.21:8001, page-15", BareNumberForm, (match, options) => Value(match, options)),
        new(AsciiGrammar.None, "the free forms above", BrokenFreeForm, (_, _) => FrameEvent.Refused(NoGrammar)),
        new(AsciiGrammar.Error, "a public bridge firmware's read-me", BridgeErrorForm, (_, _) => FrameEvent.DeviceError(BridgeError)),
        new(AsciiGrammar.Error, "easymanua.ls, surface tester, manual?p=530 (NG); manualshive.com 3567625?page=41 (Error)", AlarmForm, (_, _) => FrameEvent.DeviceError(InstrumentError)),
        new(AsciiGrammar.Words, "easymanua.ls, comparator, manual?p=69", EchoForm, (_, _) => FrameEvent.Ignored(Echo)),
        new(AsciiGrammar.Words, "manualslib.fr/manual/416088?page=15", NameForm, (_, _) => FrameEvent.Ignored("the instrument told its name")),
    ];

    [GeneratedRegex(@"\A(?=.{12}\z)[0-9]{2}[A-Z](?<sign>[+-])" + Number + @"\z", Plain)]   // 01A+0000.123
    private static partial Regex ChannelLetterForm { get; }

    [GeneratedRegex(@"\A[0-9] MW(?=[0-9+-])(?<sign>[+-])?" + Number + " " + Unit + @"\z", Plain)]   // 2 MW-00088.29 mm
    private static partial Regex MeasuredForm { get; }

    [GeneratedRegex(@"\A[0-9] TO(?=[0-9+-])[+-]?(" + Number + ")? " + Unit + @"\z", Plain)]
    private static partial Regex TimeoutForm { get; }

    [GeneratedRegex(@"\A[0-9] (?!MW|TO)[A-Z]{2}(?=[0-9+-])[+-]?" + Number + " " + Unit + @"\z", Plain)]
    private static partial Regex OtherTypeForm { get; }

    [GeneratedRegex(@"\A[0-9]{4},FOOTSWITCH, ,[0-9]{2}\z", Plain)]
    private static partial Regex PedalForm { get; }

    [GeneratedRegex(@"\A[A-Z]{2}(\*\*|[0-9]{2}),(?<sign>[+-])" + Number + @"\z", Plain)]   // GN01,+0016.2345
    private static partial Regex CodedForm { get; }

    [GeneratedRegex(@"\AV.: +" + Unit + @" *(?<=\A.{8}) [A-Za-z +<=>-]{3} (?<sign>[+-])" + Number + @"\z", Plain)]   // V1: mm   OK  +00012.345678
    private static partial Regex BoxForm { get; }

    [GeneratedRegex(@"\AN..:E.\z", Plain)]
    private static partial Regex BoxErrorForm { get; }

    [GeneratedRegex(@"\A([A-Z]{2}(\*\*|[0-9]{2}),[+-]|V.:|[0-9]{2}[A-Z][+-]|[0-9] [A-Z]{2}[0-9+-])", Plain)]
    private static partial Regex BrokenFixedForm { get; }

    [GeneratedRegex(@"\A" + Unit + " *((?<sign>[+-]) *)?" + Number + @"\z", Plain)]   // mm +12.345
    private static partial Regex UnitFirstForm { get; }

    [GeneratedRegex(@"\A[A-Z][0-9] *[A-Z] *(" + Unit + " *)?([A-Z]{1,2} *)?(?<sign>[+-]) *" + Number + @"\z", Plain)]   // A1N mm OK +12.345
    private static partial Regex LetteredForm { get; }

    [GeneratedRegex(@"\A(?=.{13}\z)(?=[+-])" + Signed + ", " + Unit + @"\z", Plain)]   // +  2.1380, MM
    private static partial Regex CommaUnitForm { get; }

    [GeneratedRegex(@"\A(?=.{24}\z)(?= {13})" + Signed + UnitAndMore, Plain)]
    private static partial Regex PaddedForm { get; }

    [GeneratedRegex(@"\A" + Signed + UnitAndMore, Plain)]   // -12.345 mm, 5.637 IN 3 5
    private static partial Regex NumberUnitForm { get; }

    [GeneratedRegex(@"\A" + Signed + @" *([<=>] *)?\z", Plain)]
    private static partial Regex BareNumberForm { get; }

    [GeneratedRegex(@"\A( +[+-]?|[+-]) *([0-9]|F[0-9.F])", Plain)]
    private static partial Regex BrokenFreeForm { get; }

    [GeneratedRegex(@"\A *#[ -~]*\z", Plain)]
    private static partial Regex BridgeErrorForm { get; }

    [GeneratedRegex(@"\A(?=[ -~]*\z)( *E(RR|rr)|.*E(rror|RROR)| *NG *[0-9]{1,4} *\z)", Plain)]
    private static partial Regex AlarmForm { get; }

    [GeneratedRegex(@"\A *M[0-9]\? *\z", Plain)]
    private static partial Regex EchoForm { get; }

    [GeneratedRegex(@"\A *[A-Za-z]{3}[A-Za-z0-9 .\-/()_:]*\z", Plain)]
    private static partial Regex NameForm { get; }

    /// <summary>What the line is. Never throws.</summary>
    public static FrameEvent Read(ReadOnlySpan<byte> line, AsciiOptions options) => Read(line, options, out _);

    /// <summary>What the line is, and which grammar it fits; <see cref="AsciiGrammar.None"/> when refused.</summary>
    public static FrameEvent Read(ReadOnlySpan<byte> line, AsciiOptions options, out AsciiGrammar grammar)
    {
        string text = Encoding.Latin1.GetString(line);
        if (Words.TryGetValue(text.Trim(' '), out FrameEvent found))
        {
            grammar = found.Kind == FrameEventKind.DeviceError ? AsciiGrammar.Error : AsciiGrammar.Words;
            return found;
        }

        foreach (Form form in Forms)
        {
            Match match = form.Pattern.Match(text);
            if (match.Success)
            {
                found = form.Event(match, options);
                bool other = found.Kind == FrameEventKind.Value && options.Only is AsciiGrammar only && only != form.Grammar;
                grammar = other || found.Kind == FrameEventKind.Refused ? AsciiGrammar.None : form.Grammar;
                return other ? FrameEvent.Refused(OtherGrammar) : found;
            }
        }

        grammar = AsciiGrammar.None;
        return FrameEvent.Refused(NoGrammar);
    }

    /// <summary>The value of the number in its unit, or else in the one that was set. A width and decimals that are not 0 are those the form has.</summary>
    private static FrameEvent Value(Match match, AsciiOptions options, int width = 0, int decimals = 0)
    {
        string text = match.Groups["number"].Value;
        int point = text.AsSpan().IndexOfAny('.', ',');
        int digits = text.Length - (point < 0 ? 0 : 1);
        int shown = point < 0 ? 0 : digits - point;
        if (text.Contains('F', StringComparison.Ordinal) || (digits >= 6 && text.AsSpan().Trim('9').Length == text.Length - digits))
        {
            return FrameEvent.DeviceError(Overflow, FrameReason.Range);   // six or more nines and nothing else: how some boxes say that there was no value
        }

        if (digits > 11 || shown > 6)   // the widest published form has five digits, a point and six digits
        {
            return FrameEvent.Refused(TooManyDigits);
        }

        if (shown == 0)
        {
            return FrameEvent.Refused(NoPoint, FrameReason.NoPoint);   // "12." is what is left of a line that lost its end
        }

        if ((width != 0 && width != text.Length) || (decimals != 0 && decimals != shown))
        {
            return FrameEvent.Refused(NoGrammar);
        }

        LengthUnit? named = !match.Groups["unit"].Success ? null
            : match.Groups["unit"].ValueSpan[0] is 'M' or 'm' ? LengthUnit.Millimetre
            : LengthUnit.Inch;
        if ((named ?? options.AssumedUnit) is not LengthUnit unit)
        {
            return FrameEvent.Refused(NoUnit, FrameReason.NoUnit);
        }

        long number = long.Parse(text.Remove(point, 1), NumberStyles.None, CultureInfo.InvariantCulture);
        return FrameEvent.Of(ShownNumber.In(unit, match.Groups["sign"].ValueSpan is "-" ? -number : number, shown), named, ShownNumber.In(unit, 1, shown));
    }

    /// <summary>A measured value has a sign and 8 characters; an overflow need not.</summary>
    private static FrameEvent Measured(Match match, AsciiOptions options)
    {
        FrameEvent found = Value(match, options, 8);
        bool legal = found.Kind == FrameEventKind.DeviceError || (found.Kind == FrameEventKind.Value && match.Groups["sign"].Success);
        return legal ? found : FrameEvent.Refused(NoGrammar);
    }

    /// <summary>One form of line.</summary>
    /// <param name="Grammar">What a line of it is called.</param>
    /// <param name="Source">Who published it. Only the host and the page are named where an address holds a maker's name; TestData/frames.csv has the whole addresses.</param>
    /// <param name="Pattern">Fits the whole line, or the beginning that no other form may claim.</param>
    /// <param name="Event">What a line of it says.</param>
    internal sealed record Form(AsciiGrammar Grammar, string Source, Regex Pattern, Func<Match, AsciiOptions, FrameEvent> Event);
}

/// <summary>A decimal number as a display shows it.</summary>
internal static class ShownNumber
{
    /// <summary>The length of a number whose last so many digits follow the point, 0 to 6. Only six decimals of an inch (25.4 nm) are not whole; they are rounded half-even, once.</summary>
    public static Length In(LengthUnit unit, long digits, int decimals)
    {
        long divisor = 1;
        for (int i = 0; i < decimals; i++)
        {
            divisor *= 10;
        }

        Length whole = unit switch
        {
            LengthUnit.Millimetre => Length.Millimetre,
            LengthUnit.Inch => Length.Inch,
        };
        return whole.Times(digits).DividedBy(divisor, Rounding.HalfEven);
    }
}
