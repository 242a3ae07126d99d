using System.Globalization;
using System.Text;
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
    private readonly List<Piece> _steps = [];     // of all verdicts, one after another
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

        _head.Cut();
        Field(record, head.Id, _head);
        _head.Add((byte)',');
        Raw(record, head.Kind, _head);
        _head.Add((byte)',');
        Field(record, head.OfRecord, _head);
        _head.Add((byte)',');
        Field(record, head.Tag, _head);
        _head.Add((byte)',');
        Field(record, withoutInitials ? default : head.Hand, _head);
        _head.Add((byte)',');
        Field(record, withoutInitials ? default : head.SignedBy, _head);
        _head.Add((byte)',');
        Field(record, head.Standard, _head);
        _head.Add((byte)',');
        Field(record, head.Edition, _head);
        _head.Add((byte)',');
        Raw(record, head.Started, _head);
        _head.Add((byte)',');
        Raw(record, head.Closed, _head);
        _head.Add(head.Verified ? ",true,"u8 : ",false,"u8);
        foreach (Take take in _takes)
        {
            Line(record, take, output);
        }

        return true;
    }

    private void Line(ReadOnlySpan<byte> record, Take take, ByteLines output)
    {
        output.Add(_head.Written.Span);
        Field(record, take.Step, output);
        output.Add((byte)',');
        Field(record, take.Of, output);
        output.Add((byte)',');
        Field(record, take.From, output);
        output.Add((byte)',');
        output.Add(take.Number);
        output.Add((byte)',');
        Raw(record, take.Value, output);
        output.Add((byte)',');
        Millimetres(record.Slice(take.Value.Start, take.Value.Length), output);
        output.Add((byte)',');
        Raw(record, take.Unit, output);
        output.Add((byte)',');
        Raw(record, take.Resolution, output);
        output.Add((byte)',');
        Raw(record, take.Source, output);
        output.Add((byte)',');
        Raw(record, take.At, output);
        output.Add((byte)',');
        Field(record, take.Raw, output);
        output.Add((byte)',');
        if (Worst(record, take.Step) is { } worst)
        {
            Raw(record, worst.Word, output);
            output.Add((byte)',');
            Conformance(record.Slice(worst.Conformance.Start, worst.Conformance.Length), output);
        }
        else
        {
            output.Add((byte)',');
        }

        output.Add("\r\n"u8);
    }

    /// <summary>The worst verdict over a step, of equals the one less likely to conform, of these the first.</summary>
    private Given? Worst(ReadOnlySpan<byte> record, Piece step)
    {
        ReadOnlySpan<byte> name = record.Slice(step.Start, step.Length);
        Given? worst = null;
        foreach (Given verdict in _verdicts)
        {
            for (int index = verdict.FirstStep; index < verdict.EndStep; index++)
            {
                Piece over = _steps[index];
                if (over.Length == step.Length && record.Slice(over.Start, over.Length).SequenceEqual(name))
                {
                    if (worst is not { } known || verdict.Rank > known.Rank
                        || (verdict.Rank == known.Rank && Double(record, verdict.Conformance) < Double(record, known.Conformance)))
                    {
                        worst = verdict;
                    }

                    break;
                }
            }
        }

        return worst;
    }

    private static double Double(ReadOnlySpan<byte> record, Piece piece) => Double(record.Slice(piece.Start, piece.Length));

    private static double Double(ReadOnlySpan<byte> text) => double.Parse(text, NumberStyles.Float, CultureInfo.InvariantCulture);

    /// <summary>The canonical text of most probabilities is the one of the export; where the layouts differ it is made anew.</summary>
    private static void Conformance(ReadOnlySpan<byte> text, ByteLines output)
    {
        bool isSame = text is [(byte)'0' or (byte)'1'] || (text.StartsWith("0."u8) && !text.StartsWith("0.0000"u8) && !text.Contains((byte)'e'));
        output.Add(isSame ? text : Encoding.ASCII.GetBytes(Double(text).ToString("R", CultureInfo.InvariantCulture)));
    }

    private static void Millimetres(ReadOnlySpan<byte> nanometres, ByteLines output)
    {
        const int Decimals = 6;
        if (nanometres[0] == '-')
        {
            output.Add((byte)'-');
            nanometres = nanometres[1..];
        }

        output.Add(nanometres.Length > Decimals ? nanometres[..^Decimals] : "0"u8);
        output.Add((byte)'.');
        output.Add("000000"u8[..Math.Max(0, Decimals - nanometres.Length)]);
        output.Add(nanometres[Math.Max(0, nanometres.Length - Decimals)..]);
    }

    private static void Raw(ReadOnlySpan<byte> record, Piece piece, ByteLines output) => output.Add(record.Slice(piece.Start, piece.Length));

    /// <summary>A text as <see cref="CsvText.Field"/> writes it; it is printable ASCII already.</summary>
    private static void Field(ReadOnlySpan<byte> record, Piece piece, ByteLines output)
    {
        ReadOnlySpan<byte> text = record.Slice(piece.Start, piece.Length);
        bool quotes = text.ContainsAny((byte)',', (byte)'"');
        if (quotes)
        {
            output.Add((byte)'"');
        }

        if (text.Length > 0 && text[0] is (byte)'=' or (byte)'+' or (byte)'-' or (byte)'@')
        {
            output.Add((byte)'\'');
        }

        if (!piece.HasEscapes)
        {
            output.Add(text);
        }
        else
        {
            for (int index = 0; index < text.Length; index++)
            {
                index += text[index] == '\\' ? 1 : 0;
                output.Add(text[index] == '"' ? "\"\""u8 : text.Slice(index, 1));
            }
        }

        if (quotes)
        {
            output.Add((byte)'"');
        }
    }

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

    private readonly record struct Given(Piece Word, int Rank, Piece Conformance, int FirstStep, int EndStep);
}
