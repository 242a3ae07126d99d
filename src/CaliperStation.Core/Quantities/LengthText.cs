using System.Diagnostics.CodeAnalysis;
using System.Globalization;
using System.Numerics;
using System.Text.RegularExpressions;

namespace CaliperStation.Core.Quantities;

/// <summary>Lengths as people write them.</summary>
/// <remarks>
/// Taken, with an optional sign (<c>+</c>, <c>-</c> or the minus U+2212) before all of it:
/// <list type="bullet">
/// <item><c>34.13125 mm</c>, <c>34,13125 mm</c>, <c>2.5 cm</c>, <c>1.34375 in</c>, <c>.5in</c>: a comma is a decimal mark when it is the only mark;</item>
/// <item><c>11/32</c>, <c>1 11/32 in</c>, <c>1-11/32"</c>, <c>1⅜ in</c>: halves to 64ths, below one;</item>
/// <item><c>11t</c>, <c>16½ t</c>, <c>16.5 ticks</c>: ticks of 1/32 in, to the half;</item>
/// <item><c>1 in 11/32</c>, <c>1in 11t</c>: whole inches, then less than an inch.</item>
/// </list>
/// A number without a unit takes the bare unit. A fraction without a unit is a fraction of an inch where inches are the
/// bare unit; where millimetres are, it is refused: nobody's rule has fractions of a millimetre, and taking it for an inch
/// would turn a slip into a length 25.4 times too large. Centimetres are reported as <see cref="LengthUnit.Millimetre"/>,
/// ticks as <see cref="LengthUnit.Inch"/>. Everything else is refused with the place of the fault; no text makes this throw.
/// </remarks>
public static partial class LengthText
{
    /// <summary>Most characters that are looked at; the longest sensible text has about 30.</summary>
    public const int MaxTextLength = 64;

    private const string Space = @"[\t\p{Zs}]";   // of every width, the no-break ones too
    private const string Minus = @"[-\u2010-\u2013\u2212]";   // hyphens, dashes and the minus sign: word processors swap them
    private const string Vulgar = "[½¼¾⅐-⅞↉]";   // Unicode's fractions in one character, those that no rule has too
    private const string TwoUnits = "Two units stand here: write one length in one unit, or whole inches and ticks.";
    private const string OutOfRange = "That is beyond 100 m: check the decimal mark and the unit.";
    private const string NoSuchMarks = "A rule has halves, quarters, eighths, 16ths, 32nds and 64ths only: write one of these, or a decimal.";

    /// <summary>The largest length taken, without its sign: 100 m, beyond any coat and any slip of a decimal mark.</summary>
    public static Length Largest => Length.FromNanometres(100_000_000_000);

    /// <summary>Reads a length.</summary>
    /// <param name="text">What was written; any text.</param>
    /// <param name="bareUnit">The unit of a number without one.</param>
    /// <returns>The length, or the place of the first fault and what to write instead.</returns>
    public static LengthParse Parse(string text, LengthUnit bareUnit) => ParseIn(text, bareUnit switch
    {
        LengthUnit.Millimetre => UnitMark.Millimetre,
        LengthUnit.Inch => UnitMark.Inch,
    });

    /// <summary>The same with a bare unit that may also be ticks.</summary>
    internal static LengthParse ParseIn(string text, UnitMark bareUnit)
    {
        ArgumentNullException.ThrowIfNull(text);
        return text.Length > MaxTextLength
            ? LengthParse.Refused(MaxTextLength, "That is too long for a length: write one like 1 11/32 in or 34.13125 mm.")
            : new Reader(text, bareUnit).Read();
    }

    /// <summary>
    /// A number: decimal, fraction, whole with a fraction, or whole. A hyphen joins only when nothing stands between it and its neighbours:
    /// <c>1 - 1/2</c> may be a difference. What may be missing is optional here, so that its fault has a place.
    /// </summary>
    [GeneratedRegex(
        @"\G(?:(?<whole>[0-9]*)(?<mark>[.,])(?<decimals>[0-9]*)"
        + $@"|(?:(?<whole>[0-9]+)(?:{Space}+|{Minus}|(?={Vulgar})))?(?:(?<top>[0-9]+){Space}*[/\u2044\u2215]{Space}*(?<bottom>[0-9]*)|(?<vulgar>{Vulgar}))"
        + "|(?<whole>[0-9]+))",
        RegexOptions.CultureInvariant)]
    private static partial Regex NumberPattern();

    /// <summary>A unit, or nothing; a hyphen may join it to its number, as in <c>1/8-inch</c>.</summary>
    [GeneratedRegex($@"\G(?:{Minus}?(?<word>\p{{L}}+)|(?<inch>[""″”]|(?<prime>['′’])\k<prime>)|(?<feet>['′’]))?", RegexOptions.CultureInvariant)]
    private static partial Regex UnitPattern();

    /// <summary>A number as written, exact: <paramref name="Over"/> by <paramref name="Under"/> of a unit still to come.</summary>
    /// <param name="Over">Numerator, not negative.</param>
    /// <param name="Under">Denominator: a power of ten, or a power of two up to 64.</param>
    /// <param name="Start">Index of its first character.</param>
    /// <param name="PartAt">Index of the decimal mark or of the fraction; <paramref name="Start"/> when whole.</param>
    /// <param name="Decimals">Digits written after the decimal mark, zeros at the end too.</param>
    /// <param name="HasFraction">True for a fraction with or without a whole part.</param>
    private readonly record struct Written(BigInteger Over, BigInteger Under, int Start, int PartAt, int Decimals = 0, bool HasFraction = false);

    /// <summary>Reads <c>[sign] number [unit [fraction | number tick]]</c>, spaces anywhere between; after the first fault the rest changes nothing.</summary>
    private ref struct Reader(string text, UnitMark bareUnit)
    {
        private int _at;
        private LengthFault? _fault;

        private readonly bool AtEnd => _at == text.Length;

        /// <summary>Where a number without its sign begins.</summary>
        private readonly bool AtNumber => NumberPattern().Match(text, _at).Value is not ("" or "." or ",");

        public LengthParse Read()
        {
            SkipSpaces();
            bool negative = IsMinus(Ahead());
            if (IsSign(Ahead()))
            {
                _at++;
                SkipSpaces();
            }

            Written number = ReadNumber(afterInches: false);
            UnitMark unit = ReadUnit();
            ParsedLength length = Measure(number, unit);
            if (unit == UnitMark.Inch && (AtNumber || IsSign(Ahead())))
            {
                length = ReadBelowInch(number, length);
            }

            ExpectEnd();
            return _fault is null
                ? LengthParse.Of(negative ? length with { Value = -length.Value } : length)
                : LengthParse.Refused(_fault.Position, _fault.Message);
        }

        private Written ReadNumber(bool afterInches)
        {
            int start = _at;
            Match match = NumberPattern().Match(text, start);
            if (!match.Success)
            {
                return Fail<Written>(start, NoNumber());
            }

            _at += match.Length;
            return match.Groups["mark"].Success ? ReadDecimal(match)
                : match.Groups["vulgar"].Success ? ReadVulgar(match)
                : match.Groups["top"].Success ? ReadFraction(match, afterInches)
                : ReadWhole(match);
        }

        private Written ReadDecimal(Match match)
        {
            (string decimals, int mark) = (match.Groups["decimals"].Value, match.Groups["mark"].Index);
            string significant = decimals.TrimEnd('0');
            BigInteger under = BigInteger.Pow(10, significant.Length);
            return decimals.Length == 0 ? Fail<Written>(_at, "A digit is missing after the decimal mark: write 1.0 or 1.")
                : IsMark(Ahead()) ? Fail<Written>(mark, "Write the number with one decimal mark and without thousands separators, as in 1234.5.")
                : IsSlash(Ahead()) ? Fail<Written>(_at, "A fraction has whole numbers above and below its slash: write 1 11/32 or 1.34375.")
                : significant.Length > 12 ? Fail<Written>(mark, "That is finer than a nanometre: write at most six digits after the decimal mark.")
                : new((ValueOf(match.Groups["whole"].Value) * under) + ValueOf(significant), under, match.Index, mark, decimals.Length);
        }

        /// <summary>One character of Unicode's Number Forms and Latin-1; a rule has those of eighths only.</summary>
        private Written ReadVulgar(Match match)
        {
            Group vulgar = match.Groups["vulgar"];
            int eighths = "⅛¼⅜½⅝¾⅞".IndexOf(vulgar.Value[0], StringComparison.Ordinal) + 1;
            return eighths == 0
                ? Fail<Written>(vulgar.Index, NoSuchMarks)
                : new((ValueOf(match.Groups["whole"].Value) * 8) + eighths, 8, match.Index, vulgar.Index, HasFraction: true);
        }

        private Written ReadFraction(Match match, bool afterInches)
        {
            (Group whole, Group top, Group bottom) = (match.Groups["whole"], match.Groups["top"], match.Groups["bottom"]);
            if (bottom.Length == 0)
            {
                return Fail<Written>(_at, "The number below the slash is missing: write 1/8.");
            }

            (BigInteger over, BigInteger under) = (ValueOf(top.Value), ValueOf(bottom.Value));
            return FaultOfBottom(under) is { } fault ? Fail<Written>(bottom.Index, fault)
                : over >= under && (whole.Success || afterInches) ? Fail<Written>(top.Index, "After a whole number the fraction must be below one: write 1 11/32.")
                : over >= under ? Fail<Written>(top.Index, FaultOfTop(top.Value, (int)under))
                : IsSlash(Ahead()) || IsMark(Ahead()) ? Fail<Written>(_at, "A fraction has one whole number above and one below its slash: write 1 11/32.")
                : new((ValueOf(whole.Value) * under) + over, under, match.Index, top.Index, HasFraction: true);
        }

        private Written ReadWhole(Match match)
        {
            int end = _at;
            SkipSpaces();
            (int next, char first, char second) = (_at, Ahead(), Ahead(1));
            _at = end;
            bool joined = IsMinus(first) && next == end;
            Written whole = new(ValueOf(match.Value), 1, match.Index, match.Index);
            return joined && char.IsLetter(second) ? whole   // 1-inch: the hyphen belongs to the unit
                : joined && char.IsAsciiDigit(second) ? Fail<Written>(next, "Write one length, not from one to another.")
                : char.IsAsciiDigit(first) ? Fail<Written>(next, "Two numbers stand side by side: write one, without spaces inside, as in 1234.5 or 1 11/32.")
                : IsSign(first) ? Fail<Written>(next, "A sign stands only before the number: write 1 11/32 with a space between.")
                : whole;
        }

        /// <summary>Takes a unit when one stands here, and the spaces around it.</summary>
        private UnitMark ReadUnit()
        {
            SkipSpaces();
            Match match = UnitPattern().Match(text, _at);
            _at += match.Length;
            UnitMark unit = match.Groups["inch"].Success ? UnitMark.Inch : UnitMark.None;
            if (match.Groups["feet"].Success)
            {
                Fail<UnitMark>(match.Index, "A single mark means feet, which are not taken: write inches.");
            }
            else if (match.Groups["word"] is { Success: true } word)
            {
                string name = word.Value.ToUpperInvariant();
                unit = name switch
                {
                    "IN" or "INCH" or "INCHES" => UnitMark.Inch,
                    "MM" => UnitMark.Millimetre,
                    "CM" => UnitMark.Centimetre,
                    "T" or "TICK" or "TICKS" => UnitMark.Tick,
                    "E" => Fail<UnitMark>(word.Index, "Write the number out, without an exponent."),
                    _ => Fail<UnitMark>(word.Index, "This unit is not known here: write in, mm, cm or t."),
                };
                if (name == "IN" && Ahead() == '.')
                {
                    _at++;
                    if (char.IsAsciiDigit(Ahead()))
                    {
                        Fail<UnitMark>(_at - 1, "Put a space after the unit, so that its point is no decimal mark: write 1 in 5 t.");
                    }
                }
            }

            SkipSpaces();
            return unit;
        }

        /// <summary>What may follow whole inches: a fraction without a unit, or ticks, less than an inch in all.</summary>
        private ParsedLength ReadBelowInch(Written inches, ParsedLength length)
        {
            if (inches.HasFraction || inches.Decimals > 0)
            {
                return Fail<ParsedLength>(_at, "Only whole inches may stand before ticks or a fraction: write 1 in 11 t.");
            }

            Written rest = ReadNumber(afterInches: true);
            SkipSpaces();
            int unitAt = _at;
            ParsedLength part = ReadUnit() switch
            {
                UnitMark.None when rest.HasFraction && rest.PartAt == rest.Start => Measure(rest, UnitMark.Inch),
                UnitMark.None => Fail<ParsedLength>(rest.Start, "Say what the second number counts: write 1 in 11 t or 1 in 11/32."),
                UnitMark.Tick when rest.Over >= 32 * rest.Under => Fail<ParsedLength>(rest.Start, "An inch has 32 ticks: after inches write fewer."),
                UnitMark.Tick => Measure(rest, UnitMark.Tick),
                UnitMark.Inch or UnitMark.Millimetre or UnitMark.Centimetre => Fail<ParsedLength>(unitAt, TwoUnits),
            };
            Length sum = length.Value + part.Value;
            return sum > Largest ? Fail<ParsedLength>(rest.Start, OutOfRange) : part with { Value = sum };
        }

        private void ExpectEnd()
        {
            if (AtEnd)
            {
                return;
            }

            int at = _at;
            bool number = AtNumber;
            Fail<UnitMark>(at, (ReadUnit(), number) switch
            {
                (not UnitMark.None, _) => TwoUnits,
                (UnitMark.None, true) => "A second number stands here: write one length.",
                (UnitMark.None, false) => "This character has no place in a length: write one like 1 11/32 in or 34.13125 mm.",
            });
        }

        private ParsedLength Measure(Written number, UnitMark written)
        {
            if (_fault is not null)
            {
                return default;
            }

            UnitMark unit = written == UnitMark.None ? bareUnit : written;
            Length one = unit switch
            {
                UnitMark.Inch => Length.Inch,
                UnitMark.Millimetre => Length.Millimetre,
                UnitMark.Centimetre => Length.Millimetre.Times(10),
                UnitMark.Tick => Length.Tick,
                UnitMark.None => throw new ArgumentOutOfRangeException(nameof(written), "A number is measured in a unit."),
            };
            if (number.HasFraction && unit is (UnitMark.Millimetre or UnitMark.Centimetre))
            {
                return written == UnitMark.None
                    ? Fail<ParsedLength>(_at, "A bare number is in millimetres here and those have no fractions: add in after the fraction, or write a decimal.")
                    : Fail<ParsedLength>(number.PartAt, "Millimetres and centimetres have no fractions: write a decimal, as in 0.5 mm.");
            }

            BigInteger nanometres = BigInteger.DivRem(number.Over * one.Nanometres, number.Under, out BigInteger tooFine);
            bool onRule = unit == UnitMark.Tick || number.HasFraction;
            return unit == UnitMark.Tick && number.Over * 2 % number.Under != 0
                    ? Fail<ParsedLength>(number.PartAt, "The finest is half a tick: write 16½ t or 16.5 t.")
                : number.Over * one.Nanometres > Largest.Nanometres * number.Under ? Fail<ParsedLength>(number.Start, OutOfRange)
                : tooFine != 0
                    ? Fail<ParsedLength>(number.PartAt, "That is not a whole number of nanometres: write at most five digits after the mark for inches, six for millimetres.")
                : new(
                    Length.FromNanometres((long)nanometres),
                    unit is UnitMark.Inch or UnitMark.Tick ? LengthUnit.Inch : LengthUnit.Millimetre,
                    written != UnitMark.None,
                    unit == UnitMark.Tick ? LengthNotation.Ticks : number.HasFraction ? LengthNotation.Fraction : LengthNotation.Decimal,
                    number.Decimals,
                    onRule ? Length.HalfTick : Length.FromNanometres((long)BigInteger.Max(one.Nanometres / BigInteger.Pow(10, number.Decimals), 1)));
        }

        private readonly string NoNumber()
        {
            char first = Ahead();
            return AtEnd ? "The number is missing: write one like 1 11/32 in or 34.13125 mm."
                : IsSign(first) ? "Write one sign only, before the number."
                : IsSlash(first) ? "The number above the slash is missing: write 1/8."
                : char.IsLetter(first) || first is '"' or '″' ? "Write the number first, then its unit, as in 11/32 in."
                : char.IsNumber(first) ? "Write the number with the digits 0 to 9."
                : "A length begins with a number: write one like 1 11/32 in or 34.13125 mm.";
        }

        private void SkipSpaces()
        {
            while (Ahead() == '\t' || char.GetUnicodeCategory(Ahead()) == UnicodeCategory.SpaceSeparator)
            {
                _at++;
            }
        }

        /// <summary>A character ahead, or NUL beyond the end; nothing accepts a NUL, so the two need no telling apart.</summary>
        private readonly char Ahead(int count = 0) => _at + count < text.Length ? text[_at + count] : '\0';

        private T? Fail<T>(int position, string message)
        {
            _fault ??= new(position, message);
            return default;
        }

        private static bool IsMinus(char value) => value is '-' or (>= '\u2010' and <= '\u2013') or '\u2212';

        private static bool IsSign(char value) => value == '+' || IsMinus(value);

        /// <summary>A decimal mark: a point, or a comma where the writer's country has one.</summary>
        private static bool IsMark(char value) => value is '.' or ',';

        /// <summary>A slash, the fraction slash U+2044 or the division slash U+2215.</summary>
        private static bool IsSlash(char value) => value is '/' or '\u2044' or '\u2215';

        private static BigInteger ValueOf(string digits) =>
            digits.Length == 0 ? BigInteger.Zero : BigInteger.Parse(digits, NumberStyles.None, CultureInfo.InvariantCulture);

        /// <summary>Why no rule has such marks: it has halves down to 64ths, the finest that are whole in nanometres (1/128 in is 198 437.5 nm).</summary>
        private static string? FaultOfBottom(BigInteger bottom) =>
            bottom.IsZero ? "A fraction cannot have 0 below the slash: write halves, quarters, eighths, 16ths, 32nds or 64ths."
            : !bottom.IsPowerOfTwo || bottom.IsOne ? NoSuchMarks
            : bottom > 64 ? "The finest fraction is 1/64: write the nearest 64th, or a decimal."
            : null;

        /// <summary>What was likely meant by a fraction that stands alone and is not below one.</summary>
        /// <remarks>
        /// Published texts lose the space of <c>1 1/4</c>; read as eleven quarters it is 69.85 mm instead of 31.75, so every
        /// reading of the digits is offered and none is taken.
        /// </remarks>
        private static string FaultOfTop(string top, int bottom)
        {
            const string Why = "The top of the fraction is not smaller than its bottom: write ";
            if (ValueOf(top) > 999)
            {
                return Why + "the whole number, a space and the rest, as in 1 1/4.";
            }

            string meant = LengthFormat.SixtyFourths((Int128)ValueOf(top) * 64 / bottom);
            string[] lost =
            [
                .. Enumerable.Range(1, top.Length - 1)
                    .Where(cut => top[0] != '0' && top[cut] != '0' && ValueOf(top[cut..]) < bottom)
                    .Select(cut => string.Create(CultureInfo.InvariantCulture, $"{top[..cut]} {top[cut..]}/{bottom}")),
            ];
            return Why + (lost.Length == 0 ? $"{meant}." : $"{string.Join(" or ", lost)} if a space was lost, {meant} if that was meant.");
        }
    }
}

/// <summary>A unit as written.</summary>
internal enum UnitMark
{
    /// <summary>No unit stands here.</summary>
    None,

    /// <summary><c>in</c>, <c>in.</c>, <c>inch</c>, <c>inches</c>, or a double prime or what stands for one.</summary>
    Inch,

    /// <summary><c>mm</c>.</summary>
    Millimetre,

    /// <summary><c>cm</c>: published placement rules use it.</summary>
    Centimetre,

    /// <summary><c>t</c>, <c>tick</c>, <c>ticks</c>: 1/32 in.</summary>
    Tick,
}

/// <summary>How a length was written.</summary>
public enum LengthNotation
{
    /// <summary>A number with or without a decimal mark: read off a display.</summary>
    Decimal,

    /// <summary>A common fraction of an inch: read off a rule.</summary>
    Fraction,

    /// <summary>Ticks: read off a rule.</summary>
    Ticks,
}

/// <summary>A length read from text, with how it was written.</summary>
/// <param name="Value">The length.</param>
/// <param name="Unit">The unit it was written in, or the bare unit.</param>
/// <param name="UnitWritten">False when the text had no unit and the bare unit was taken.</param>
/// <param name="Notation">Decimal, fraction or ticks.</param>
/// <param name="Decimals">Digits written after the decimal mark, zeros at the end too; 0 without a mark.</param>
/// <param name="LastPlace">Of a decimal: one unit of the last digit written, at least 1 nm; else 1/64 in.</param>
public readonly record struct ParsedLength(Length Value, LengthUnit Unit, bool UnitWritten, LengthNotation Notation, int Decimals, Length LastPlace);

/// <summary>Why a text is not a length.</summary>
/// <param name="Position">Index of the first character at fault, from 0; the text's length when something is missing at its end.</param>
/// <param name="Message">What is wrong and what to write instead, one sentence; never repeats the text unescaped.</param>
public sealed record LengthFault(int Position, string Message);

/// <summary>A length or the reason why there is none.</summary>
public readonly struct LengthParse
{
    private LengthParse(ParsedLength value, LengthFault? fault)
    {
        Value = value;
        Fault = fault;
    }

    /// <summary>The length; <c>default</c> when there is a fault.</summary>
    public ParsedLength Value { get; }

    /// <summary>The fault, or null.</summary>
    public LengthFault? Fault { get; }

    /// <summary>True when there is a length.</summary>
    [MemberNotNullWhen(false, nameof(Fault))]
    public bool IsLength => Fault is null;

    /// <summary>A length.</summary>
    public static LengthParse Of(ParsedLength value) => new(value, null);

    /// <summary>No length.</summary>
    public static LengthParse Refused(int position, string message) => new(default, new LengthFault(position, message));
}
