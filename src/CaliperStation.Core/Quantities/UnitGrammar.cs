namespace CaliperStation.Core.Quantities;

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

/// <summary>Reads a unit, in any case of letters; a hyphen may join it to its number, as in <c>1/8-inch</c>.</summary>
internal static class UnitGrammar
{
    private const string Known = "write in, mm, cm or t";

    /// <summary>Takes a unit when one stands here.</summary>
    /// <returns>A fault when what stands here can only be a unit and is none of ours.</returns>
    public static LengthFault? Read(ref TextCursor cursor, out UnitMark unit)
    {
        unit = UnitMark.None;
        if (cursor.AtMinus && char.IsLetter(cursor.Next))
        {
            cursor.Advance();
        }

        if (char.IsLetter(cursor.Current))
        {
            return Word(ref cursor, out unit);
        }

        switch (cursor.Current)
        {
            case '"' or '″' or '”':
                cursor.Advance();
                unit = UnitMark.Inch;
                return null;
            case '\'' or '′' or '’' when cursor.Next == cursor.Current:
                cursor.Advance();
                cursor.Advance();
                unit = UnitMark.Inch;
                return null;
            case '\'' or '′' or '’':
                return new(cursor.Position, "A single mark means feet, which are not taken: write inches.");
            default:
                return null;
        }
    }

    private static LengthFault? Word(ref TextCursor cursor, out UnitMark unit)
    {
        int start = cursor.Position;
        ReadOnlySpan<char> word = cursor.TakeLetters();
        unit = Named(word);
        if (unit == UnitMark.None)
        {
            return new(start, word is "e" or "E"
                ? "Write the number out, without an exponent."
                : $"This unit is not known here: {Known}.");
        }

        if (cursor.Current != '.' || !Is(word, "in"))
        {
            return null;
        }

        if (char.IsAsciiDigit(cursor.Next))
        {
            return new(cursor.Position, "Put a space after the unit, so that its point is no decimal mark: write 1 in 5 t.");
        }

        cursor.Advance();
        return null;
    }

    private static UnitMark Named(ReadOnlySpan<char> word) => word switch
    {
        _ when Is(word, "in") || Is(word, "inch") || Is(word, "inches") => UnitMark.Inch,
        _ when Is(word, "mm") => UnitMark.Millimetre,
        _ when Is(word, "cm") => UnitMark.Centimetre,
        _ when Is(word, "t") || Is(word, "tick") || Is(word, "ticks") => UnitMark.Tick,
        _ => UnitMark.None,
    };

    private static bool Is(ReadOnlySpan<char> word, string name) => word.Equals(name, StringComparison.OrdinalIgnoreCase);
}
