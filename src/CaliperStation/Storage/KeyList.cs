using System.Text;
using System.Text.Json;
using CaliperStation.Core.Quantities;
using CaliperStation.Core.Readings;
using CaliperStation.Core.Records;

namespace CaliperStation.Storage;

/// <summary>A key whose signatures count here.</summary>
/// <param name="Public">SubjectPublicKeyInfo, base64.</param>
/// <param name="IsOwn">True for a key of this station, false for another's that was admitted.</param>
/// <param name="At">Since when, UTC.</param>
/// <param name="Reason">Why it came, as given; empty for the first.</param>
/// <param name="By">The signature of the station's key before over this entry, base64; empty where there was none to sign.</param>
internal sealed record TrustedKey(string Public, bool IsOwn, DateTimeOffset At, string Reason, string By)
{
    /// <summary>What <see cref="By"/> is over.</summary>
    public byte[] Bytes => Encoding.UTF8.GetBytes($"{Public}|{(IsOwn ? "own" : "other")}|{FileWords.Instant(At)}|{Reason}");
}

/// <summary>The keys whose signatures count, as the station's present key signed them. A file that only lies in the folder of keys counts for nothing.</summary>
/// <remarks>
/// <c>keys/trusted.json</c>: <c>{"keys":[{"key":"…","own":true,"at":"…","reason":"…","by":"…"},…],"signature":"…"}</c>, the signature over the bytes of
/// the list itself. A store of a version before has none: there the folder's files are taken, and the list is made at the next work.
/// </remarks>
internal sealed class KeyList
{
    private readonly List<TrustedKey> _keys;
    private readonly HashSet<string> _all;

    private KeyList(IEnumerable<TrustedKey> keys, bool isAdopted)
    {
        (_keys, IsAdopted) = ([.. keys], isAdopted);
        _all = [.. _keys.Select(key => key.Public)];
    }

    /// <summary>The keys, the oldest first.</summary>
    public IReadOnlyList<TrustedKey> Keys => _keys;

    /// <summary>True when there is no list and the folder's files were taken.</summary>
    public bool IsAdopted { get; }

    /// <summary>The station's own public keys, the present one last; base64.</summary>
    public IReadOnlyList<string> Own => [.. Keys.Where(key => key.IsOwn).Select(key => key.Public)];

    /// <summary>The ids of the station's own keys; its chains are called after them.</summary>
    public IReadOnlySet<string> OwnIds => Own.Select(key => RecordSignature.KeyId(key)!).ToHashSet();

    /// <summary>Every public key whose signatures count; base64.</summary>
    public IReadOnlySet<string> All => _all;

    /// <summary>Own keys that no key before them signed, though there was one: who had the store but not the key can make such a one too.</summary>
    public IEnumerable<TrustedKey> Unsigned
    {
        get
        {
            TrustedKey? before = null;
            foreach (TrustedKey key in Keys.Where(key => key.IsOwn))
            {
                if (before is not null && !RecordSignature.Verify(before.Public, key.Bytes, key.By))
                {
                    yield return key;
                }

                before = key;
            }
        }
    }

    /// <summary>A list of one key.</summary>
    public static KeyList First(string publicKey, DateTimeOffset at) => new([new(publicKey, true, at, "", "")], false);

    /// <summary>Adds one; <see cref="Write"/> makes it last.</summary>
    public void Add(TrustedKey key)
    {
        _keys.Add(key);
        _all.Add(key.Public);
    }

    /// <summary>The same as a list to be signed, that own key last.</summary>
    public KeyList Ending(string publicKey) => new(Keys.OrderBy(key => key.Public == publicKey), false);

    /// <summary>True when a store has a list.</summary>
    public static bool Exists(StorePaths paths) => File.Exists(paths.TrustedKeys);

    /// <summary>The list of a store.</summary>
    /// <param name="paths">The store.</param>
    /// <param name="present">The public half of the key the station has; null where that cannot be known: then the list's own last key signs it.</param>
    /// <exception cref="StoreException">It was changed, or cannot be read.</exception>
    public static KeyList Read(StorePaths paths, string? present)
    {
        string path = paths.TrustedKeys;
        if (!File.Exists(path))
        {
            return OfFiles(paths);
        }

        try
        {
            using JsonDocument document = JsonDocument.Parse(StationKey.ReadText(path));
            JsonElement keys = document.RootElement.GetProperty("keys");
            List<TrustedKey> list = [.. keys.EnumerateArray().Select(key => new TrustedKey(
                key.GetProperty("key").GetString()!,
                key.GetProperty("own").GetBoolean(),
                FileWords.InstantOf(key.GetProperty("at").GetString()!),
                key.GetProperty("reason").GetString()!,
                key.GetProperty("by").GetString()!))];
            KeyList read = new(list, false);
            string signer = read.Own[^1];
            if ((present is null || present == signer) && RecordSignature.Verify(signer, Encoding.UTF8.GetBytes(keys.GetRawText()), document.RootElement.GetProperty("signature").GetString()!))
            {
                return read;
            }
        }
        catch (Exception e) when (JsonText.IsFault(e))
        {
            // told below: it was changed
        }

        throw new StoreException(StoreFault.KeyListChanged, $"The list of keys {path} is not as the station's key signed it: it was changed, or the key was. Take the folder of keys from a backup; or, when the key is lost, go on with a new one: records new-key --reason.");
    }

    /// <summary>The folder's files as a list.</summary>
    public static KeyList OfFiles(StorePaths paths) => new(StationKey.Files(paths).Select(file => new TrustedKey(file.Public, file.IsOwn, DateTimeOffset.UnixEpoch, "", "")), true);

    /// <summary>Signs the list with the present key and writes it.</summary>
    /// <exception cref="StoreException">It cannot be written.</exception>
    public void Write(StorePaths paths, IRecordSigner present)
    {
        string keys = "[" + string.Join(',', Keys.Select(key => JsonText.Object(json =>
        {
            json.WriteString("key", key.Public);
            json.WriteBoolean("own", key.IsOwn);
            json.WriteString("at", FileWords.Instant(key.At));
            json.WriteString("reason", key.Reason);
            json.WriteString("by", key.By);
        }))) + "]";
        StationKey.Write(paths.TrustedKeys, $$"""{"keys":{{keys}},"signature":"{{present.Sign(Encoding.UTF8.GetBytes(keys))}}"}""");
    }
}
