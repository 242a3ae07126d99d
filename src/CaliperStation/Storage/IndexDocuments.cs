using System.Buffers.Binary;
using System.Security.Cryptography;
using CaliperStation.Core.Records;
using CaliperStation.Core.Sittings;
using LiteDB;

namespace CaliperStation.Storage;

/// <summary>The index's documents, made and read by hand: instants are milliseconds since 1970 and lengths nanometres, both 64-bit.</summary>
/// <remarks>
/// The database's own mapper trims text, turns empty text to null and cuts instants to local time; none of that happens to
/// a document made like this.
/// </remarks>
internal static class IndexDocuments
{
    /// <summary>The form of the documents; another one in the file makes the index be rebuilt.</summary>
    public const int Schema = 6;   // 2: the last records of each blouse; 3: tags in either case, hands, practice, sittings given up; 4: no single readings and verdicts; 5: a check in each document, newest by journal number; 6: verified only with a signature that holds

    /// <summary>The member that blouses are looked up by: <see cref="BlouseTag.Key"/>.</summary>
    public const string Key = "key";

    private const string Check = "check";

    public static BsonDocument Record(JournalLine line, LinePlace place, Record record, SealedRecord seal, IReadOnlySet<string> knownKeys)
    {
        RecordSummary summary = RecordSummary.Of(seal, knownKeys);
        return Checked(new BsonDocument
        {
            ["_id"] = line.Number,
            ["schema"] = Schema,
            ["id"] = record.Id,
            ["kind"] = (int)record.Kind,
            ["of"] = record.OfRecord is { } of ? new BsonValue(of) : BsonValue.Null,
            ["tag"] = record.Tag,
            [Key] = BlouseTag.Key(record.Tag),
            ["hand"] = record.Hand,
            ["hands"] = new BsonArray(record.Hands.Select(hand => new BsonValue(hand))),
            ["practice"] = record.IsPractice,
            ["signed"] = record.SignedBy,
            ["started"] = record.Started.ToUnixTimeMilliseconds(),
            ["closed"] = record.Closed.ToUnixTimeMilliseconds(),
            ["standard"] = record.Standard.Name,
            ["edition"] = record.Standard.Edition,
            ["items"] = new BsonArray(summary.Items.Select(item => new BsonValue(item))),
            ["within"] = summary.Within,
            ["borderline"] = summary.Borderline,
            ["outside"] = summary.Outside,
            ["asides"] = summary.Asides,
            ["verified"] = summary.Verified,
            ["chain"] = record.Chain,
            ["number"] = record.Number,
            ["sha"] = seal.Hash,
            ["file"] = place.File,
            ["line"] = place.Line,
            ["position"] = place.Position,
            ["length"] = place.Length,
            ["h"] = line.Hash,
        });
    }

    /// <summary>The document with a check of its own bytes: the first 64 bits of SHA-256 over its BSON without the check.</summary>
    public static BsonDocument Checked(BsonDocument document)
    {
        document.Remove(Check);
        document[Check] = BinaryPrimitives.ReadInt64BigEndian(SHA256.HashData(BsonSerializer.Serialize(document)));
        return document;
    }

    /// <summary>The same document when its bytes give its check.</summary>
    /// <exception cref="InvalidDataException">They do not.</exception>
    public static BsonDocument Proven(BsonDocument document)
    {
        long? check = document[Check] is { IsInt64: true } found ? found.AsInt64 : null;
        return CheckOf(Checked(document)) == check ? document : throw new InvalidDataException("a document of the index does not give its check");
    }

    /// <summary>The check a document bears.</summary>
    public static long CheckOf(BsonDocument document) => document[Check].AsInt64;

    public static RecordSummary Summary(BsonDocument at) => new(
        at["id"].AsString,
        (RecordKind)at["kind"].AsInt32,
        at["of"].IsNull ? null : at["of"].AsString,
        at["tag"].AsString,
        at["hand"].AsString,
        at["signed"].AsString,
        DateTimeOffset.FromUnixTimeMilliseconds(at["started"].AsInt64),
        DateTimeOffset.FromUnixTimeMilliseconds(at["closed"].AsInt64),
        at["standard"].AsString,
        at["edition"].AsString,
        [.. at["items"].AsArray.Select(item => item.AsString)],
        at["within"].AsInt32,
        at["borderline"].AsInt32,
        at["outside"].AsInt32,
        at["asides"].AsInt32,
        at["verified"].AsBoolean)
    {
        Hands = [.. at["hands"].AsArray.Select(hand => hand.AsString)],
        Practice = at["practice"].AsBoolean,
    };

    public static IndexedRecord Indexed(BsonDocument at) => new(
        Summary(at),
        new LinePlace(at["file"].AsString, at["line"].AsInt32, at["position"].AsInt64, at["length"].AsInt32),
        at["h"].AsString,
        at["_id"].AsInt64);
}

/// <summary>A record in the index.</summary>
/// <param name="Summary">Its line in a list.</param>
/// <param name="Place">Where the journal has it.</param>
/// <param name="Hash">The hash of that journal line.</param>
/// <param name="Number">The journal number of that line.</param>
internal sealed record IndexedRecord(RecordSummary Summary, LinePlace Place, string Hash, long Number);

/// <summary>A sitting that was begun and not closed.</summary>
/// <param name="Sitting">Its id.</param>
/// <param name="Tag">The blouse.</param>
/// <param name="Started">When it began.</param>
/// <param name="FirstNumber">The journal number of its first event: read on from there.</param>
internal sealed record OpenSitting(string Sitting, string Tag, DateTimeOffset Started, long FirstNumber);

/// <summary>The index's document of a blouse: denormalised, the full records that decide readiness, so listing reads one document per blouse.</summary>
/// <remarks>
/// <c>last</c> is its sitting filed last by journal number, whatever its clock said; one for practice only where there is no other; <c>countersign</c> and <c>recheck</c>
/// are those filed last, not for practice, that look back at it; <c>other</c> is kept where there is no sitting at all.
/// </remarks>
internal static class LatestOfBlouse
{
    private static readonly string[] _members = ["last", "countersign", "recheck", "other"];

    /// <summary>The document with one more record.</summary>
    /// <param name="blouse">The document so far, or null.</param>
    /// <param name="record">The record's own document, in the index already.</param>
    /// <param name="looksAt">The documents of records that look back at a record, in the order they were filed.</param>
    public static BsonDocument With(BsonDocument? blouse, BsonDocument record, Func<string, IEnumerable<BsonDocument>> looksAt)
    {
        BsonDocument known = blouse ?? new BsonDocument { ["_id"] = record[IndexDocuments.Key], ["schema"] = IndexDocuments.Schema };
        BsonDocument? last = known["last"] as BsonDocument;
        if (record["kind"].AsInt32 != (int)RecordKind.Sitting)
        {
            if (last is null)
            {
                known["other"] = record;
            }
            else
            {
                Look(known, last, record);
            }

            return known;
        }

        if (last is not null && record["practice"].AsBoolean && !last["practice"].AsBoolean)
        {
            return known;
        }

        BsonDocument next = new() { ["_id"] = record[IndexDocuments.Key], ["schema"] = IndexDocuments.Schema, ["last"] = record };
        foreach (BsonDocument second in looksAt(record["id"].AsString))   // an import may bring these in before it
        {
            if (second[IndexDocuments.Key] == record[IndexDocuments.Key])
            {
                Look(next, record, second);
            }
        }

        return next;
    }

    /// <summary>The records in it.</summary>
    public static IEnumerable<BsonDocument> Records(BsonDocument blouse) => _members.Select(member => blouse[member]).OfType<BsonDocument>();

    private static void Look(BsonDocument blouse, BsonDocument last, BsonDocument second)
    {
        string member = second["kind"].AsInt32 == (int)RecordKind.Countersign ? "countersign" : "recheck";
        if (second["of"] == last["id"] && !second["practice"].AsBoolean)
        {
            blouse[member] = second;
        }
    }
}
