using System.Runtime.InteropServices;
using CaliperStation.Core.Records;

namespace CaliperStation.Core.Reports;

/// <summary>The lines of <see cref="RecordExport.WriteCsv"/> straight from a record's canonical bytes, for exports.</summary>
/// <remarks>
/// It goes through the bytes once, in the order the one form has (<c>docs/record-format.md</c>), copies what it needs and makes no record of it. Bytes
/// that are not of that order, a word it does not know or a text beyond printable ASCII make it give up, and the caller reads the record strictly. It trusts
/// that the bytes are a record: the caller checks their hash. One instance serves one thread.
/// </remarks>
/// <param name="filter">Which records, and which of their lines.</param>
/// <param name="withoutInitials">Leaves the hands out.</param>
public sealed partial class RecordCsvBytes(RecordFilter filter, bool withoutInitials)
{
    private readonly FilterBytes _filter = new(filter);
    private readonly List<Piece> _hands = [];    // all that took a reading
    private readonly List<Piece> _items = [];    // of all readings, also of those without a take
    private readonly List<Take> _takes = [];
    private readonly List<Given> _verdicts = [];
    private readonly List<Over> _steps = [];     // of all verdicts, one after another
    private readonly ByteLines _head = new();

    /// <summary>Looks whether the record is wanted; false when the strict way must do it.</summary>
    /// <param name="record">The canonical bytes, their hash checked.</param>
    /// <param name="wanted">Whether the filter lets it through.</param>
    public bool TryLook(ReadOnlySpan<byte> record, out bool wanted) => TryLook(record, out wanted, out _);

    /// <summary>Adds the record's lines if it is wanted; false, and nothing is added, when the strict way must do it.</summary>
    /// <param name="record">The canonical bytes, their hash checked.</param>
    /// <param name="output">Where the lines go.</param>
    public bool TryWrite(ReadOnlySpan<byte> record, ByteLines output)
    {
        if (!TryLook(record, out bool wanted, out Head head))
        {
            return false;
        }

        if (wanted)
        {
            Begin(record, head);
            foreach (ref readonly Take take in CollectionsMarshal.AsSpan(_takes))
            {
                Line(record, take, output);
            }
        }

        return true;
    }

    private bool TryLook(ReadOnlySpan<byte> record, out bool wanted, out Head head)
    {
        _takes.Clear();
        _hands.Clear();
        _items.Clear();
        _verdicts.Clear();
        _steps.Clear();
        CanonicalCursor at = new(record);
        head = default;
        bool read = Parse(ref at, record, ref head) && at.IsAtEnd;
        wanted = read && _filter.WantsHead(Of(record, head.Tag), Of(record, head.Closed)) && WantsInside(record, head);
        return read;
    }

    private bool WantsInside(ReadOnlySpan<byte> record, in Head head)
    {
        bool hand = filter.Hand is null || _filter.WantsHand(Of(record, head.Hand)) || _filter.WantsHand(Of(record, head.SignedBy));
        foreach (Piece took in CollectionsMarshal.AsSpan(_hands))
        {
            hand = hand || _filter.WantsHand(Of(record, took));
        }

        bool item = filter.Item is null;
        foreach (Piece read in CollectionsMarshal.AsSpan(_items))
        {
            item = item || _filter.WantsItem(Of(record, read));
        }

        bool verdict = filter.Verdict is null;
        foreach (ref readonly Given given in CollectionsMarshal.AsSpan(_verdicts))
        {
            verdict = verdict || given.Rank == (int?)filter.Verdict;
        }

        return hand && item && verdict;
    }

    /// <summary>What stands at the beginning of each line.</summary>
    private void Begin(ReadOnlySpan<byte> record, in Head head)
    {
        _head.Cut();
        CsvBytes line = new(record, _head.Room(record.Length + (12 * CsvBytes.FieldMore) + CsvBytes.Spare));
        line.Field(head.Id);
        line.Raw(head.Kind);
        line.Field(head.OfRecord);
        line.Field(head.Tag);
        line.Field(withoutInitials ? default : head.SignedBy);
        line.Field(head.Standard);
        line.Field(head.Edition);
        line.Raw(head.Started);
        line.Raw(head.Closed);
        line.Add(head.Verified && !head.IsPractice ? "true,"u8 : "false,"u8);
        line.Add(head.IsPractice ? "true,"u8 : "false,"u8);
        _head.Put(line.Length);
    }

    private void Line(ReadOnlySpan<byte> record, in Take take, ByteLines output)
    {
        int worst = Worst(record, take.Step);
        if (!_filter.WantsItem(Of(record, take.Of)) || (filter.Verdict is { } verdict && (worst < 0 || _verdicts[worst].Rank != (int)verdict)))
        {
            return;
        }

        int bytes = _head.Length + take.Step.Length + take.Of.Length + take.From.Length + (2 * take.Value.Length) + take.Unit.Length
            + take.Resolution.Length + take.Source.Length + take.At.Length + take.Raw.Length + take.Hand.Length + (13 * CsvBytes.FieldMore) + CsvBytes.Spare
            + (worst < 0 ? 0 : _verdicts[worst].Word.Length + _verdicts[worst].Conformance.Length);
        CsvBytes line = new(record, output.Room(bytes));
        line.Add(_head.Written.Span);
        line.Field(take.Step);
        line.Field(take.Of);
        line.Field(take.From);
        line.Whole(take.Number);
        line.Field(withoutInitials ? default : take.Hand);
        line.Raw(take.Value);
        line.Millimetres(take.Value);
        line.Raw(take.Unit);
        line.Raw(take.Resolution);
        line.Raw(take.Source);
        line.Raw(take.At);
        line.Field(take.Raw);
        if (worst < 0)
        {
            line.Comma();
        }
        else
        {
            ref readonly Given given = ref CollectionsMarshal.AsSpan(_verdicts)[worst];
            line.Raw(given.Word);
            line.Conformance(given.Conformance);
        }

        line.Add("\r\n"u8);
        output.Put(line.Length);
    }

    /// <summary>The worst verdict over a step, of equals the one less likely to conform, of these the first; −1 when there is none.</summary>
    private int Worst(ReadOnlySpan<byte> record, in Piece step)
    {
        ReadOnlySpan<byte> name = Of(record, step);
        ReadOnlySpan<Given> verdicts = CollectionsMarshal.AsSpan(_verdicts);
        int worst = -1;
        foreach (ref readonly Over over in CollectionsMarshal.AsSpan(_steps))
        {
            // the last bytes of two steps differ more often than the first: rack-left, rack-right
            if (over.Step.Length != name.Length || (name.Length > 0 && record[over.Step.Start + name.Length - 1] != name[^1])
                || !record.Slice(over.Step.Start, name.Length).SequenceEqual(name))
            {
                continue;
            }

            if (worst < 0 || verdicts[over.Verdict].Rank > verdicts[worst].Rank
                || (verdicts[over.Verdict].Rank == verdicts[worst].Rank && Conformance(record, verdicts[over.Verdict]) < Conformance(record, verdicts[worst])))
            {
                worst = over.Verdict;
            }
        }

        return worst;
    }

    private static double Conformance(ReadOnlySpan<byte> record, in Given verdict) => CsvBytes.Number(Of(record, verdict.Conformance));

    private static ReadOnlySpan<byte> Of(ReadOnlySpan<byte> record, in Piece piece) => record.Slice(piece.Start, piece.Length);

    private struct Head
    {
        public Piece Id, Kind, OfRecord, Tag, Hand, SignedBy, Standard, Edition, Started, Closed;
        public bool Verified, IsPractice, IsFirstSchema;
    }

    private struct Take
    {
        public Piece Step, Of, From, Value, Unit, Resolution, Source, At, Raw, Hand;
        public int Number;
    }

    private readonly record struct Given(Piece Word, int Rank, Piece Conformance);

    private readonly record struct Over(Piece Step, int Verdict);
}
