using System.Runtime.InteropServices;
using CaliperStation.Core.Judging;
using CaliperStation.Core.Records;

namespace CaliperStation.Core.Reports;

/// <content>Going through the bytes in the order of <see cref="RecordBytes"/>.</content>
public sealed partial class RecordCsvBytes
{
    private bool Parse(ref CanonicalCursor at, ReadOnlySpan<byte> record, ref Head head) =>
        at.Skip("{\"answers\":"u8) && at.Nested()
        && at.Skip(",\"asides\":"u8) && at.Nested()
        && at.Skip(",\"chain\":"u8) && at.Text(out _)
        && at.Skip(",\"closed\":"u8) && at.Instant(out head.Closed)
        && at.Skip(",\"comparisons\":"u8) && at.Nested()
        && at.Skip(",\"hand\":"u8) && at.Text(out head.Hand) && Hands(ref at, ref head)
        && at.Skip(",\"id\":"u8) && at.Text(out head.Id)
        && at.Skip(",\"judging\":"u8) && at.Nested()
        && at.Skip(",\"kind\":"u8) && at.Text(out head.Kind) && Is(record, head.Kind, "sitting"u8, "countersign"u8, "recheck"u8)
        && at.Skip(",\"moves\":"u8) && at.Nested()
        && at.Skip(",\"number\":"u8) && at.Number(out _)
        && at.Skip(",\"ofRecord\":"u8) && at.TextOrNull(out head.OfRecord)
        && (head.IsFirstSchema || (at.Skip(",\"practice\":"u8) && Truth(ref at, out head.IsPractice)))
        && at.Skip(",\"previous\":"u8) && at.Text(out _)
        && at.Skip(",\"readings\":["u8) && Readings(ref at, record, ref head)
        && at.Skip(head.IsFirstSchema ? ",\"schema\":1,\"seed\":"u8 : ",\"schema\":2,\"seed\":"u8) && at.NumberOrNull()
        && at.Skip(",\"signedBy\":"u8) && at.Text(out head.SignedBy) && OneHand(head)
        && at.Skip(",\"standard\":{\"edition\":"u8) && at.Text(out head.Edition)
        && at.Skip(",\"name\":"u8) && at.Text(out head.Standard)
        && at.Skip(",\"sha256\":"u8) && at.Text(out _)
        && at.Skip("},\"started\":"u8) && at.Instant(out head.Started)
        && at.Skip(",\"tag\":"u8) && at.Text(out head.Tag)
        && (head.IsFirstSchema || (at.Skip(",\"tagCorrections\":"u8) && at.Nested()))
        && at.Skip(",\"verdicts\":["u8) && Verdicts(ref at, record)
        && at.Skip(",\"verified\":"u8) && Truth(ref at, out head.Verified)
        && at.Skip("}"u8);

    /// <summary>The hands, which only later schemas have: that tells the schemas apart long before it is said.</summary>
    private bool Hands(ref CanonicalCursor at, ref Head head)
    {
        head.IsFirstSchema = !at.Skip(",\"hands\":["u8);
        if (head.IsFirstSchema || at.Skip("]"u8))
        {
            return true;
        }

        do
        {
            if (!at.Text(out Piece hand))
            {
                return false;
            }

            _hands.Add(hand);
        }
        while (at.Skip(","u8));
        return at.Skip("]"u8);
    }

    /// <summary>In the first schema one hand took all: whose the record is, else who signed.</summary>
    private bool OneHand(in Head head)
    {
        if (head.IsFirstSchema)
        {
            foreach (ref Take take in CollectionsMarshal.AsSpan(_takes))
            {
                take.Hand = head.Hand.Length > 0 ? head.Hand : head.SignedBy;
            }
        }

        return true;
    }

    private bool Readings(ref CanonicalCursor at, ReadOnlySpan<byte> record, ref Head head)
    {
        if (at.Skip("]"u8))
        {
            return true;
        }

        do
        {
            if (!at.Skip("{\"from\":"u8) || !at.Text(out Piece from) || !at.Skip(",\"of\":"u8) || !at.Text(out Piece of)
                || !at.Skip(",\"step\":"u8) || !at.Text(out Piece step) || !at.Skip(",\"takes\":["u8) || !Takes(ref at, record, new Take { From = from, Of = of, Step = step }, ref head)
                || !at.Skip("}"u8))
            {
                return false;
            }

            _items.Add(of);
        }
        while (at.Skip(","u8));
        return at.Skip("]"u8);
    }

    private bool Takes(ref CanonicalCursor at, ReadOnlySpan<byte> record, Take take, ref Head head)
    {
        if (at.Skip("]"u8))
        {
            return true;
        }

        do
        {
            take.Number++;
            if (!at.Skip("{\"at\":"u8) || !at.Instant(out take.At)
                || !(head.IsFirstSchema || (at.Skip(",\"hand\":"u8) && at.Text(out take.Hand))) || !at.Skip(",\"raw\":"u8) || !at.Text(out take.Raw)
                || !at.Skip(",\"resolutionNm\":"u8) || !at.Number(out take.Resolution)
                || !at.Skip(",\"source\":"u8) || !at.Text(out take.Source) || !IsSource(record, take.Source)
                || !at.Skip(",\"unit\":"u8) || !at.Text(out take.Unit) || !Is(record, take.Unit, "in"u8, "mm"u8, "mm"u8)
                || !at.Skip(",\"valueNm\":"u8) || !at.Number(out take.Value) || !at.Skip("}"u8))
            {
                return false;
            }

            head.IsPractice |= IsPretended(record, take.Source);
            _takes.Add(take);
        }
        while (at.Skip(","u8));
        return at.Skip("]"u8);
    }

    private bool Verdicts(ref CanonicalCursor at, ReadOnlySpan<byte> record)
    {
        if (at.Skip("]"u8))
        {
            return true;
        }

        do
        {
            if (!at.Skip("{\"conformance\":"u8) || !at.Number(out Piece conformance) || !at.Skip(",\"dimension\":"u8) || !at.Text(out _)
                || !at.Skip(",\"kind\":"u8) || !at.Text(out _) || !at.Skip(",\"lower\":"u8) || !at.NumberOrNull()
                || !at.Skip(",\"nominal\":"u8) || !at.NumberOrNull() || !at.Skip(",\"relation\":"u8) || !at.Text(out _)
                || !at.Skip(",\"steps\":["u8) || !Steps(ref at) || !at.Skip(",\"uncertainty\":"u8) || !at.Number(out _)
                || !at.Skip(",\"upper\":"u8) || !at.NumberOrNull() || !at.Skip(",\"value\":"u8) || !at.Number(out _)
                || !at.Skip(",\"verdict\":"u8) || !at.Text(out Piece word) || !Is(record, word, "within"u8, "borderline"u8, "outside"u8) || !at.Skip("}"u8))
            {
                return false;
            }

            int rank = (int)(record[word.Start] switch { (byte)'w' => Verdict.Within, (byte)'b' => Verdict.Borderline, _ => Verdict.Outside });
            _verdicts.Add(new(word, rank, conformance));
        }
        while (at.Skip(","u8));
        return at.Skip("]"u8);
    }

    private bool Steps(ref CanonicalCursor at)
    {
        if (at.Skip("]"u8))
        {
            return true;
        }

        do
        {
            if (!at.Text(out Piece step))
            {
                return false;
            }

            _steps.Add(new(step, _verdicts.Count));   // the verdict that is being read
        }
        while (at.Skip(","u8));
        return at.Skip("]"u8);
    }

    private static bool Truth(ref CanonicalCursor at, out bool value)
    {
        value = at.Skip("true"u8);
        return value || at.Skip("false"u8);
    }

    private static bool Is(ReadOnlySpan<byte> record, Piece piece, ReadOnlySpan<byte> one, ReadOnlySpan<byte> two, ReadOnlySpan<byte> three)
    {
        ReadOnlySpan<byte> word = record.Slice(piece.Start, piece.Length);
        return word.SequenceEqual(one) || word.SequenceEqual(two) || word.SequenceEqual(three);
    }

    /// <summary>What <see cref="Readings.Reading.IsPretended"/> says.</summary>
    private static bool IsPretended(ReadOnlySpan<byte> record, Piece piece) => Is(record, piece, "emulated"u8, "replay"u8, "replay"u8);

    private static bool IsSource(ReadOnlySpan<byte> record, Piece piece) =>
        Is(record, piece, "serial"u8, "emulated"u8, "typed"u8) || Is(record, piece, "keyboard"u8, "replay"u8, "replay"u8);
}
