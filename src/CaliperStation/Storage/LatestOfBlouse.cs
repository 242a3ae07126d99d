using CaliperStation.Core.Records;
using LiteDB;

namespace CaliperStation.Storage;

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
