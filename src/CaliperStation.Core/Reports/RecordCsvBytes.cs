using System.Runtime.InteropServices;
using CaliperStation.Core.Records;

namespace CaliperStation.Core.Reports;

/// <summary>The lines of <see cref="RecordExport.WriteCsv"/> straight from a record's canonical bytes, for exports of whole stores.</summary>
/// <remarks>
/// It goes through the bytes once, in the order the one form has (<c>docs/record-format.md</c>), copies what it needs and makes no record of it. Bytes
/// that are not of that order, a word it does not know or a text beyond printable ASCII make it give up, and the caller reads the record strictly. It trusts
/// that the bytes are a record: the caller checks their hash. One instance serves one thread.
/// </remarks>
public sealed partial class RecordCsvBytes(bool withoutInitials)
{
    private readonly List<Take> _takes = [];
    private readonly List<Given> _verdicts = [];
    private readonly List<Over> _steps = [];     // of all verdicts, one after another
    private readonly ByteLines _head = new();

    /// <summary>Adds the record's lines; false, and nothing is added, when the strict way must do it.</summary>
    /// <param name="record">The canonical bytes, their hash checked.</param>
    /// <param name="output">Where the lines go.</param>
    public bool TryWrite(ReadOnlySpan<byte> record, ByteLines output)
    {
        _takes.Clear();
        _verdicts.Clear();
        _steps.Clear();
        CanonicalCursor at = new(record);
        Head head = default;
        if (!Parse(ref at, record, ref head) || !at.IsAtEnd)
        {
            return false;
        }

        Begin(record, head);
        foreach (ref readonly Take take in CollectionsMarshal.AsSpan(_takes))
        {
            Line(record, take, output);
        }

        return true;
    }

    /// <summary>What stands at the beginning of each line.</summary>
    private void Begin(ReadOnlySpan<byte> record, in Head head)
    {
        _head.Cut();
        CsvBytes line = new(record, _head.Room(record.Length + (11 * CsvBytes.FieldMore) + CsvBytes.Spare));
        line.Field(head.Id);
        line.Raw(head.Kind);
        line.Field(head.OfRecord);
        line.Field(head.Tag);
        line.Field(withoutInitials ? default : head.Hand);
        line.Field(withoutInitials ? default : head.SignedBy);
        line.Field(head.Standard);
        line.Field(head.Edition);
        line.Raw(head.Started);
        line.Raw(head.Closed);
        line.Add(head.Verified ? "true,"u8 : "false,"u8);
        _head.Put(line.Length);
    }

    private void Line(ReadOnlySpan<byte> record, in Take take, ByteLines output)
    {
        int worst = Worst(record, take.Step);
        int bytes = _head.Length + take.Step.Length + take.Of.Length + take.From.Length + (2 * take.Value.Length) + take.Unit.Length
            + take.Resolution.Length + take.Source.Length + take.At.Length + take.Raw.Length + (12 * CsvBytes.FieldMore) + CsvBytes.Spare
            + (worst < 0 ? 0 : _verdicts[worst].Word.Length + _verdicts[worst].Conformance.Length);
        CsvBytes line = new(record, output.Room(bytes));
        line.Add(_head.Written.Span);
        line.Field(take.Step);
        line.Field(take.Of);
        line.Field(take.From);
        line.Whole(take.Number);
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
            ref readonly Given verdict = ref CollectionsMarshal.AsSpan(_verdicts)[worst];
            line.Raw(verdict.Word);
            line.Conformance(verdict.Conformance);
        }

        line.Add("\r\n"u8);
        output.Put(line.Length);
    }

    /// <summary>The worst verdict over a step, of equals the one less likely to conform, of these the first; −1 when there is none.</summary>
    private int Worst(ReadOnlySpan<byte> record, in Piece step)
    {
        ReadOnlySpan<byte> name = record.Slice(step.Start, step.Length);
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

    private static double Conformance(ReadOnlySpan<byte> record, in Given verdict) => CsvBytes.Number(record.Slice(verdict.Conformance.Start, verdict.Conformance.Length));

    private struct Head
    {
        public Piece Id, Kind, OfRecord, Tag, Hand, SignedBy, Standard, Edition, Started, Closed;
        public bool Verified;
    }

    private struct Take
    {
        public Piece Step, Of, From, Value, Unit, Resolution, Source, At, Raw;
        public int Number;
    }

    private readonly record struct Given(Piece Word, int Rank, Piece Conformance);

    private readonly record struct Over(Piece Step, int Verdict);
}
