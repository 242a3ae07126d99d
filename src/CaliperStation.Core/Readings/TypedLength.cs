using CaliperStation.Core.Quantities;

namespace CaliperStation.Core.Readings;

/// <summary>The lengths that are possible for a step on this coat, ends included.</summary>
/// <param name="Least">The smallest.</param>
/// <param name="Most">The largest; not below <paramref name="Least"/>.</param>
public readonly record struct CoatSpan(Length Least, Length Most)
{
    /// <summary>True when that length is possible.</summary>
    public bool Allows(Length length) => length >= Least && length <= Most;
}

/// <summary>One way to read what was typed.</summary>
/// <param name="Value">The length.</param>
/// <param name="Unit">Its unit; inches for ticks.</param>
/// <param name="Resolution">One step of the rule or display it was read on, see <see cref="TypedRule"/>.</param>
/// <param name="Text">The same with its unit, <c>14 t</c>: typed so, it is read so. Safe to show.</param>
public sealed record TypedCandidate(Length Value, LengthUnit Unit, Length Resolution, string Text);

/// <summary>Why a typed number is asked about.</summary>
public enum TypedQuestion
{
    /// <summary>It could be in one unit or another, and either is possible on this coat.</summary>
    WhichUnit,

    /// <summary>In the unit it is read in it is not possible on this coat, in another it is.</summary>
    OtherUnit,

    /// <summary>It is beyond anything that this coat allows.</summary>
    BeyondCoat,
}

/// <summary>What a number typed at the bench comes to: a length, a question, or nothing that can be read.</summary>
/// <remarks>
/// A bare whole number, or one and a half, is read in what the screen shows, in ticks where ticks are shown; a bare fraction or decimal is
/// inches or millimetres as the standard says. What could be either, or is beyond what the coat allows, is asked about. A unit that was written
/// is believed, but for the coat.
/// </remarks>
public abstract record TypedLength
{
    private TypedLength()
    {
    }

    /// <summary>A length. <paramref name="UnitWritten"/> is false where its unit was taken from the screen or the standard, which is then to be said.</summary>
    public sealed record Taken(TypedCandidate Length, bool UnitWritten) : TypedLength;

    /// <summary>
    /// A question. It is answered by typing one of the <paramref name="Candidates"/>, or, when there is only one, by a yes: give it to
    /// <see cref="Read"/> with the next text.
    /// </summary>
    public sealed record Asked(TypedQuestion Why, IReadOnlyList<TypedCandidate> Candidates) : TypedLength;

    /// <summary>No length, and why.</summary>
    public sealed record Unreadable(LengthFault Fault) : TypedLength;

    /// <summary>Reads a text; never throws for what it holds.</summary>
    /// <param name="text">What was typed.</param>
    /// <param name="unit">The standard's unit.</param>
    /// <param name="show">What the screen shows.</param>
    /// <param name="coat">What is possible on this coat, or null when nothing is known: then nothing is asked.</param>
    /// <param name="question">The question that this text may answer, or null.</param>
    public static TypedLength Read(string text, LengthUnit unit, LengthDisplay show, CoatSpan? coat, Asked? question = null)
    {
        ArgumentNullException.ThrowIfNull(text);
        if (question is { Candidates: [var only] } && text.Trim().ToLowerInvariant() is "y" or "yes")
        {
            return new Taken(only, true);
        }

        UnitMark standard = unit == LengthUnit.Inch ? UnitMark.Inch : UnitMark.Millimetre;
        UnitMark shown = show switch
        {
            LengthDisplay.Ticks => UnitMark.Tick,
            LengthDisplay.Fraction or LengthDisplay.Inch => UnitMark.Inch,
            LengthDisplay.Millimetre => UnitMark.Millimetre,
        };
        UnitMark first = IsInShown(text, shown) ? shown : standard;
        LengthParse parse = LengthText.ParseIn(text, first);
        if (!parse.IsLength)
        {
            return new Unreadable(parse.Fault);
        }

        bool isBare = !parse.Value.UnitWritten;
        TypedCandidate read = Candidate(text, parse.Value, first);
        if (coat is not { } possible || (question?.Candidates.Any(each => each.Value == read.Value && !isBare) ?? false))
        {
            return new Taken(read, !isBare);
        }

        if (!isBare)
        {
            return possible.Allows(read.Value) ? new Taken(read, true) : new Asked(TypedQuestion.BeyondCoat, [read]);
        }

        List<TypedCandidate> either = Possible(text, [first, shown, standard], possible);
        return either switch
        {
            [var one] when one.Value == read.Value => new Taken(read, false),
            [_, _, ..] => new Asked(TypedQuestion.WhichUnit, either),
            [var other] => new Asked(TypedQuestion.OtherUnit, [other]),
            [] => Possible(text, [UnitMark.Tick, UnitMark.Inch, UnitMark.Millimetre], possible) is [_, ..] others
                ? new Asked(TypedQuestion.OtherUnit, others)
                : new Asked(TypedQuestion.BeyondCoat, [read]),
        };
    }

    /// <summary>
    /// True for a whole number, or one and a half, without a unit: half as <c>14 1/2</c>, and as <c>14.5</c> where ticks are shown. A bare
    /// <c>1/2</c> is a fraction of an inch first.
    /// </summary>
    private static bool IsInShown(string text, UnitMark shown)
    {
        LengthParse ticks = LengthText.ParseIn(text, UnitMark.Tick);   // which takes whole and half numbers only
        if (!ticks.IsLength || ticks.Value.UnitWritten)
        {
            return false;
        }

        long halves = Math.Abs(ticks.Value.Value.Nanometres / Length.HalfTick.Nanometres);
        return long.IsEvenInteger(halves) ? ticks.Value.Decimals == 0
            : ticks.Value.Decimals == 0 ? halves > 1
            : ticks.Value.Decimals == 1 && shown == UnitMark.Tick;
    }

    private static List<TypedCandidate> Possible(string text, IEnumerable<UnitMark> units, CoatSpan coat) =>
    [
        .. units.Distinct()
            .Select(unit => (Unit: unit, Parse: LengthText.ParseIn(text, unit)))
            .Where(read => read.Parse.IsLength && coat.Allows(read.Parse.Value.Value))
            .Select(read => Candidate(text, read.Parse.Value, read.Unit))
            .DistinctBy(candidate => candidate.Value),
    ];

    private static TypedCandidate Candidate(string text, ParsedLength length, UnitMark unit)
    {
        string plain = PrintableText.Escape(string.Concat(text.Trim().Select(c => char.IsWhiteSpace(c) ? ' ' : c)));
        string mark = unit switch
        {
            UnitMark.Tick => " t",
            UnitMark.Millimetre => " mm",
            UnitMark.Inch => " in",
            UnitMark.Centimetre or UnitMark.None => throw new ArgumentOutOfRangeException(nameof(unit), "A bare number is never in it."),
        };
        return new TypedCandidate(length.Value, length.Unit, TypedRule.Default.ResolutionOf(length), length.UnitWritten ? plain : plain + mark);
    }
}
