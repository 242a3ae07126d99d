using System.Security.Cryptography;
using System.Text;
using CaliperStation.Core.Records;
using CaliperStation.Files;

namespace CaliperStation.Storage;

/// <summary>The station's key: signs records. Made on first use; its private half never leaves its file.</summary>
/// <remarks>Files and their forms: <c>docs/record-format.md</c>. A retired key's public half stays, so its records still verify.</remarks>
internal sealed class StationKey : IRecordSigner, IDisposable
{
    private const string PrivateName = "station.pem";
    private const string PublicEnding = ".pub.pem";
    private const string OtherEnding = ".other.pem";
    private const int MaxFileBytes = 64 * 1024;   // a P-256 key takes 300 bytes
    private readonly ECDsa _key;

    private StationKey(ECDsa key)
    {
        _key = key;
        PublicKey = Convert.ToBase64String(key.ExportSubjectPublicKeyInfo());
        Id = RecordSignature.KeyId(PublicKey)!;
    }

    /// <inheritdoc />
    public string PublicKey { get; }

    /// <inheritdoc />
    public string Id { get; }

    /// <summary>The key of a store; made when there is none yet. The store's lock must be held.</summary>
    /// <exception cref="StoreException">It cannot be read or made, or others could read it.</exception>
    public static StationKey Open(StorePaths paths)
    {
        string path = Path.Combine(paths.Keys, PrivateName);
        return File.Exists(path) ? Read(path, paths.Keys) : Make(path, paths.Keys);
    }

    /// <summary>Retires the present key and makes a new one; returns the new one. The store's lock must be held.</summary>
    /// <exception cref="StoreException">The present key is not sound, or the new one cannot be written.</exception>
    public static StationKey Rotate(StorePaths paths)
    {
        Open(paths).Dispose();   // its public half is in the folder now
        return Make(Path.Combine(paths.Keys, PrivateName), paths.Keys);
    }

    /// <summary>The public keys whose signatures count here: this station's and those of stations whose records were imported; base64.</summary>
    /// <exception cref="StoreException">One cannot be read.</exception>
    public static IReadOnlySet<string> Known(StorePaths paths) => Publics(paths, PublicEnding).Concat(Publics(paths, OtherEnding)).ToHashSet();

    /// <summary>The ids of this station's keys, the present one and the retired ones; its chains are called after them.</summary>
    /// <exception cref="StoreException">One cannot be read.</exception>
    public static IReadOnlySet<string> OwnIds(StorePaths paths) => Publics(paths, PublicEnding).Select(publicKey => RecordSignature.KeyId(publicKey)!).ToHashSet();

    /// <summary>Keeps another station's public key, so that its records go on counting.</summary>
    /// <exception cref="StoreException">It cannot be written.</exception>
    public static void KeepOther(StorePaths paths, string publicKey)
    {
        using ECDsa key = ECDsa.Create();
        key.ImportSubjectPublicKeyInfo(Convert.FromBase64String(publicKey), out _);
        Write(Path.Combine(paths.Keys, RecordSignature.KeyId(publicKey) + OtherEnding), key.ExportSubjectPublicKeyInfoPem());
    }

    private static HashSet<string> Publics(StorePaths paths, string ending)
    {
        HashSet<string> known = [];
        if (Directory.Exists(paths.Keys))
        {
            foreach (string file in Directory.EnumerateFiles(paths.Keys, "*" + ending).Order(StringComparer.Ordinal))
            {
                known.Add(ReadPublic(file) ?? throw new StoreException($"{file} holds no public key. It was made by the station; take it from a backup."));
            }
        }

        return known;
    }

    /// <summary>The public key in a PEM file, base64; null when there is none for P-256.</summary>
    /// <exception cref="StoreException">The file cannot be read.</exception>
    public static string? ReadPublic(string file)
    {
        string text = ReadText(file);
        try
        {
            using ECDsa key = ECDsa.Create();
            key.ImportFromPem(text);
            string publicKey = Convert.ToBase64String(key.ExportSubjectPublicKeyInfo());
            return RecordSignature.KeyId(publicKey) is null ? null : publicKey;
        }
        catch (Exception e) when (e is CryptographicException or ArgumentException or PlatformNotSupportedException)   // the last: a curve this system does not know
        {
            return null;
        }
    }

    /// <inheritdoc />
    public string Sign(ReadOnlySpan<byte> bytes) =>
        Convert.ToBase64String(_key.SignData(bytes, HashAlgorithmName.SHA256, DSASignatureFormat.IeeeP1363FixedFieldConcatenation));

    /// <inheritdoc />
    public void Dispose() => _key.Dispose();

    private static StationKey Read(string path, string folder)
    {
        if (!OperatingSystem.IsWindows() && (File.GetUnixFileMode(path) & ~OwnFile.Mode) != 0)
        {
            throw new StoreException($"Others may read the station's key {path}, so it is not used. If you trust that nobody did, mend it: chmod 600 '{path}'") { IsWrongUsage = true };
        }

        string text = ReadText(path);
        ECDsa key = ECDsa.Create();
        try
        {
            key.ImportFromPem(text);
            _ = key.ExportPkcs8PrivateKey();
            StationKey read = new(key);
            if (read.Id is null)
            {
                throw new CryptographicException("not a P-256 key");
            }

            WritePublic(read, folder);
            return read;
        }
        catch (Exception e) when (e is CryptographicException or ArgumentException or PlatformNotSupportedException)   // the last: a curve this system does not know
        {
            key.Dispose();
            throw new StoreException($"The station's key {path} cannot be used: it holds no private P-256 key. Take it from a backup, or move it away and a new one is made.", e);
        }
    }

    private static StationKey Make(string path, string folder)
    {
        StationKey made = new(ECDsa.Create(ECCurve.NamedCurves.nistP256));
        try
        {
            WritePublic(made, folder);   // first, so that no record is ever signed with a key nobody knows
            Write(path, made._key.ExportPkcs8PrivateKeyPem());
            return made;
        }
        catch
        {
            made.Dispose();
            throw;
        }
    }

    private static void WritePublic(StationKey key, string folder)
    {
        string path = Path.Combine(folder, key.Id + PublicEnding);
        if (!File.Exists(path))
        {
            Write(path, key._key.ExportSubjectPublicKeyInfoPem());
        }
    }

    private static void Write(string path, string pem)
    {
        try
        {
            OwnFile.Replace(path, Encoding.ASCII.GetBytes(pem + "\n"));
        }
        catch (Exception e) when (e is IOException or UnauthorizedAccessException)
        {
            throw new StoreException($"The station's key {path} cannot be written: {e.Message}", e);
        }
    }

    private static string ReadText(string file)
    {
        try
        {
            using FileStream stream = File.OpenRead(file);
            byte[] bytes = new byte[MaxFileBytes];
            int read = stream.ReadAtLeast(bytes, bytes.Length, throwOnEndOfStream: false);
            return Encoding.UTF8.GetString(bytes, 0, read);
        }
        catch (Exception e) when (e is IOException or UnauthorizedAccessException)
        {
            throw new StoreException($"{file} cannot be read: {e.Message}", e);
        }
    }
}
