namespace CaliperStation.Core.Quantities;

/// <summary>Reads a whole text as one length: <c>[sign] number [unit [fraction | number tick]]</c>, spaces anywhere between.</summary>
internal ref struct LengthGrammar(string text, UnitMark bareUnit)
{
    private const long NanometresPerTick = 793_750;
    private const string TwoUnits = "Two units stand here: write one length in one unit, or whole inches and ticks.";

    private TextCursor _cursor = new(text);

    public LengthFault? Read(out ParsedLength length)
    {
        length = default;
        _cursor.SkipSpaces();
        bool negative = _cursor.AtMinus;
        if (_cursor.AtSign)
        {
            _cursor.Advance();
            _cursor.SkipSpaces();
        }

        LengthFault? fault = NumberGrammar.Read(ref _cursor, belowOne: false, out WrittenNumber number);
        if (fault is not null)
        {
            return fault;
        }

        fault = ReadUnit(out UnitMark written);
        if (fault is not null)
        {
            return fault;
        }

        fault = Measure(number, written, out ParsedLength first);
        if (fault is null && written == UnitMark.Inch && !_cursor.AtEnd)
        {
            fault = ReadBelowInch(number, ref first);
        }

        fault ??= ExpectEnd();
        length = negative ? first with { Value = -first.Value } : first;
        return fault;
    }

    /// <summary>What may follow whole inches: a fraction without a unit, or ticks, less than an inch in all.</summary>
    private LengthFault? ReadBelowInch(WrittenNumber inches, ref ParsedLength length)
    {
        if (!_cursor.AtNumber && !_cursor.AtSign)
        {
            return ExpectEnd();
        }

        if (inches.Shape != NumberShape.Whole)
        {
            return new(_cursor.Position, "Only whole inches may stand before ticks or a fraction: write 1 in 20 t.");
        }

        LengthFault? fault = NumberGrammar.Read(ref _cursor, belowOne: true, out WrittenNumber rest);
        if (fault is not null)
        {
            return fault;
        }

        _cursor.SkipSpaces();
        int unitAt = _cursor.Position;
        fault = ReadUnit(out UnitMark unit);
        if (fault is not null)
        {
            return fault;
        }

        return unit switch
        {
            UnitMark.None when rest.Shape == NumberShape.Fraction => Add(rest, UnitMark.Inch, ref length),
            UnitMark.None => new(rest.Start, "Say what the second number counts: write 1 in 20 t or 1 in 20/32."),
            UnitMark.Tick when rest.Over >= 32 * rest.Under => new(rest.Start, "An inch has 32 ticks: after inches write fewer."),
            UnitMark.Tick => Add(rest, UnitMark.Tick, ref length),
            UnitMark.Inch or UnitMark.Millimetre or UnitMark.Centimetre => new(unitAt, TwoUnits),
        };
    }

    private readonly LengthFault? Add(WrittenNumber rest, UnitMark unit, ref ParsedLength length)
    {
        LengthFault? fault = Measure(rest, unit, out ParsedLength part);
        if (fault is not null)
        {
            return fault;
        }

        length = length with { Value = length.Value + part.Value, Notation = part.Notation };
        return length.Value > LengthText.Largest ? OutOfRange(rest.Start) : null;
    }

    private LengthFault? ReadUnit(out UnitMark unit)
    {
        _cursor.SkipSpaces();
        LengthFault? fault = UnitGrammar.Read(ref _cursor, out unit);
        _cursor.SkipSpaces();
        return fault;
    }

    private LengthFault? ExpectEnd()
    {
        if (_cursor.AtEnd)
        {
            return null;
        }

        int at = _cursor.Position;
        bool number = _cursor.AtNumber;
        LengthFault? fault = UnitGrammar.Read(ref _cursor, out UnitMark second);
        return fault ?? new(at, (second, number) switch
        {
            (not UnitMark.None, _) => TwoUnits,
            (UnitMark.None, true) => "A second number stands here: write one length.",
            (UnitMark.None, false) => "This character has no place in a length: write one like 1 5/8 in or 41.275 mm.",
        });
    }

    private readonly LengthFault? Measure(WrittenNumber number, UnitMark written, out ParsedLength length)
    {
        length = default;
        UnitMark unit = written == UnitMark.None ? bareUnit : written;
        if (number.HasFraction && written == UnitMark.None && unit == UnitMark.Millimetre)
        {
            return new(_cursor.Position, "A bare number is in millimetres here and those have no fractions: add in after the fraction, or write a decimal.");
        }

        if (number.HasFraction && (unit is UnitMark.Millimetre or UnitMark.Centimetre))
        {
            return new(number.PartAt, "Millimetres and centimetres have no fractions: write a decimal, as in 0.5 mm.");
        }

        if (unit == UnitMark.Tick && number.Over * 2 % number.Under != 0)
        {
            return new(number.PartAt, "The finest is half a tick: write 16½ t or 16.5 t.");
        }

        long size = SizeOf(unit);
        if (number.Over * size > LengthText.Largest.Nanometres * number.Under)
        {
            return OutOfRange(number.Start);
        }

        (Int128 nanometres, Int128 tooFine) = Int128.DivRem(number.Over * size, number.Under);
        if (tooFine != 0)
        {
            return new(number.PartAt, "That is not a whole number of nanometres: write at most five digits after the mark for inches, six for millimetres.");
        }

        length = new(
            Length.FromNanometres((long)nanometres),
            unit is UnitMark.Inch or UnitMark.Tick ? LengthUnit.Inch : LengthUnit.Millimetre,
            written != UnitMark.None,
            (unit, number.HasFraction) switch
            {
                (UnitMark.Tick, _) => LengthNotation.Ticks,
                (_, true) => LengthNotation.Fraction,
                (_, false) => LengthNotation.Decimal,
            },
            number.Decimals,
            unit == UnitMark.Tick || number.HasFraction ? Length.HalfTick : LastPlace(size, number.Decimals));
        return null;
    }

    private static Length LastPlace(long size, int decimals)
    {
        for (int i = 0; i < decimals; i++)
        {
            size /= 10;
        }

        return Length.FromNanometres(Math.Max(size, 1));
    }

    private static LengthFault OutOfRange(int at) => new(at, "That is beyond 100 m: check the decimal mark and the unit.");

    private static long SizeOf(UnitMark unit) => unit switch
    {
        UnitMark.Inch => Length.Inch.Nanometres,
        UnitMark.Millimetre => Length.Millimetre.Nanometres,
        UnitMark.Centimetre => 10 * Length.Millimetre.Nanometres,
        UnitMark.Tick => NanometresPerTick,
        UnitMark.None => throw new ArgumentOutOfRangeException(nameof(unit), "A unit is chosen before its size is asked."),
    };
}
